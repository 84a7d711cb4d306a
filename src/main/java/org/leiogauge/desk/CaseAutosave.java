// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.Executors;
import java.util.concurrent.ScheduledExecutorService;
import java.util.concurrent.TimeUnit;
import java.util.function.Consumer;
import javax.swing.SwingUtilities;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFileWriter;
import org.leiogauge.task.InputException;

/**
 * Saves the case while the reader works, off the event thread: what is told in quick succession is written once, and a change
 * waits no longer than a moment. What cannot be written, as on a full disk, is told, the last good file stays, and it is tried
 * again until it succeeds.
 *
 * <p>Any thread may call it; whoever listens is told on the event thread.
 */
final class CaseAutosave {
    private static final long MOMENT_MS = 600;
    private static final long AGAIN_MS = 10_000;

    private final Path file;
    private final CaseFile asRead;
    private final Consumer<Told> listener;
    private final ScheduledExecutorService thread = Executors.newSingleThreadScheduledExecutor(CaseAutosave::daemon);
    private CaseFile latest;
    private boolean waiting;
    private boolean closed;
    // of the saving thread alone
    private Optional<CaseFileWriter> writer = Optional.empty();
    private Told before = new Told(true, List.of());

    /**
     * @param file the case file, which need not be there yet
     * @param asRead the case as it was read from it, or as it begins
     * @param after what must have ended before, as the saving of another case into the same file
     * @param listener told whenever something is to be said, or saving works again
     */
    CaseAutosave(Path file, CaseFile asRead, CompletableFuture<?> after, Consumer<Told> listener) {
        this.file = file;
        this.asRead = asRead;
        this.latest = asRead;
        this.listener = listener;
        thread.execute(after::join);
    }

    /**
     * How saving went.
     *
     * @param saved whether all is on the disk
     * @param messages one line each; may be empty
     */
    record Told(boolean saved, List<String> messages) {
        Told {
            messages = List.copyOf(messages);
        }
    }

    /** Takes the case as it now is; it is on the disk a moment later. */
    synchronized void changed(CaseFile now) {
        latest = now;
        if (waiting || closed) return;
        waiting = true;
        thread.schedule(this::save, MOMENT_MS, TimeUnit.MILLISECONDS);
    }

    /** Writes what is not yet written, as before a measurement reads the file. @return how it went, once it is done */
    synchronized CompletableFuture<Told> flush() {
        if (closed) throw new IllegalStateException("closed");
        return CompletableFuture.supplyAsync(this::save, thread);
    }

    /** Writes what is not yet written, and takes nothing more. @return how it went, once it is done */
    synchronized CompletableFuture<Told> end() {
        CompletableFuture<Told> last = flush();
        closed = true;
        thread.shutdown();
        return last;
    }

    private Told save() {
        CaseFile now;
        synchronized (this) {
            now = latest;
            waiting = false;
        }
        Told told = saved(now);
        if (!told.saved) again();
        // the same trouble every few seconds would be noise
        boolean isNews = !told.equals(before) && !(told.saved && told.messages.isEmpty() && before.saved);
        before = told;
        if (isNews) SwingUtilities.invokeLater(() -> listener.accept(told));
        return told;
    }

    private Told saved(CaseFile now) {
        try {
            if (writer.isEmpty()) writer = Optional.of(new CaseFileWriter(file, asRead));
            return new Told(true, writer.get().save(now));
        } catch (InputException | IOException | UncheckedIOException e) {
            return new Told(
                    false,
                    List.of("the case is not saved: " + Background.told(e)
                            + "; the file is as it was, and nothing is lost while this window is open"));
        } catch (RuntimeException e) { // or it would end the saving without a word
            return new Told(false, List.of("the case is not saved: " + Background.told(e)));
        }
    }

    private synchronized void again() {
        if (waiting || closed) return;
        waiting = true;
        thread.schedule(this::save, AGAIN_MS, TimeUnit.MILLISECONDS);
    }

    private static Thread daemon(Runnable work) {
        Thread thread = new Thread(work, "leiogauge-autosave");
        thread.setDaemon(true);
        return thread;
    }
}
