// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.util.Optional;
import java.util.concurrent.CompletableFuture;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.Consumer;
import org.leiogauge.image.Mask;

/**
 * Keeps the outline on the disk while it is drawn, off the event thread. Of regions that follow each other faster than they
 * can be written the last one counts. What could not be written is told and stays to be written.
 */
final class OutlineAutosave {
    private final ReadingFolder folder;
    private final Consumer<Optional<String>> told;
    private final ExecutorService thread = Executors.newSingleThreadExecutor(OutlineAutosave::daemon);
    private Optional<Mask> waiting = Optional.empty();

    /** @param told after each attempt, on the saving thread: nothing if all is kept, else why not */
    OutlineAutosave(ReadingFolder folder, Consumer<Optional<String>> told) {
        this.folder = folder;
        this.told = told;
    }

    /** The region as it now is. */
    void changed(Mask region) {
        synchronized (this) {
            waiting = Optional.of(region);
        }
        thread.execute(this::save);
    }

    /** Tries again what could not be written. */
    void again() {
        thread.execute(this::save);
    }

    /** Writes what is not yet written. @return whether all is on the disk, once it was tried */
    CompletableFuture<Boolean> flush() {
        return CompletableFuture.supplyAsync(
                () -> {
                    save();
                    return !isWaiting();
                },
                thread);
    }

    /** Whether there is something that is not on the disk. */
    synchronized boolean isWaiting() {
        return waiting.isPresent();
    }

    private void save() {
        Optional<Mask> region;
        synchronized (this) {
            region = waiting;
        }
        if (region.isEmpty()) return;
        try {
            folder.keep(region.get());
            synchronized (this) {
                if (waiting.equals(region)) waiting = Optional.empty();
            }
            told.accept(Optional.empty());
        } catch (IOException | UncheckedIOException e) {
            told.accept(Optional.of("The outline is not saved: " + Background.told(e)
                    + ". Nothing is lost while this window is open; it is tried again."));
        }
    }

    /** Writes what is not yet written, and takes nothing more. @return whether all is on the disk, once it was tried */
    CompletableFuture<Boolean> end() {
        CompletableFuture<Boolean> last = flush();
        thread.shutdown();
        return last;
    }

    private static Thread daemon(Runnable work) {
        Thread thread = new Thread(work, "leiogauge-outline");
        thread.setDaemon(true);
        return thread;
    }
}
