// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.event.ActionEvent;
import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileSystemException;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.function.Consumer;
import javax.swing.JButton;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.JProgressBar;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import net.miginfocom.swing.MigLayout;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.Progress;

/**
 * Long work off the event thread, one job at a time, with a strip that says what is being done and how far it is, and on
 * which the stop button always stands.
 *
 * <p>The reader's last wish counts: a job that is begun while another runs replaces it. The running one is asked to stop, what
 * it may still yield is thrown away, and the new one begins as soon as the old one has let go of the thread. Of every job
 * exactly one of {@code done} and {@code failed} is called, on the event thread; for a job that was stopped or replaced it is
 * {@code failed}, with a {@link CancellationException}, as soon as that was asked for.
 *
 * <p>All methods are for the event thread.
 */
final class Background implements AutoCloseable {
    private static final int STEPS = 1000;
    private static final int LOOK_EVERY_MS = 80;

    private final ExecutorService thread = Executors.newSingleThreadExecutor(Background::daemon);
    private final JLabel words = new JLabel(" ");
    private final JProgressBar bar = new JProgressBar(0, STEPS);
    private final JButton stop = new JButton("Stop");
    private final JPanel strip =
            new JPanel(new MigLayout("insets 4 8 4 8, fillx, hidemode 0", "[grow, fill, 0::]8[120!]8[]"));
    private final Timer look = new Timer(LOOK_EVERY_MS, this::show);
    private Optional<Running<?>> running = Optional.empty();

    Background() {
        strip.add(words);
        strip.add(bar);
        strip.add(stop);
        strip.setName("work");
        words.setName("work-words");
        stop.setName("work-stop");
        stop.setMnemonic('S');
        stop.setToolTipText("Stop what is being done; nothing is left half done");
        stop.addActionListener(event -> cancel());
        bar.getAccessibleContext().setAccessibleName("how far the work is");
        idle(" ");
    }

    /** Work that yields a result; it tells how far it is, and ends with the exception that telling throws. */
    @FunctionalInterface
    interface Job<T> {
        T run(Progress progress) throws Exception;
    }

    /**
     * Begins a job, in place of one that is running.
     *
     * @param what what is being done, for the strip: {@code measuring}
     */
    <T> void run(String what, Job<T> job, Consumer<T> done, Consumer<Throwable> failed) {
        Optional<Running<?>> last = running;
        Running<T> next = new Running<>(what, job, done, failed);
        running = Optional.of(next);
        words.setText(Plain.of(what) + " …");
        words.setToolTipText(null);
        bar.setValue(0);
        bar.setVisible(true);
        bar.setIndeterminate(true);
        stop.setEnabled(true);
        look.start();
        thread.execute(next);
        // last, for whoever is told may begin something else
        last.ifPresent(one -> one.stop("replaced by: " + what));
    }

    /** Stops the running job, if there is one. */
    void cancel() {
        String what = running.map(one -> one.what).orElse("");
        if (stop("stopped")) idle(what + ": stopped, nothing was changed");
    }

    /** Whether a job is running. */
    boolean isBusy() {
        return running.isPresent();
    }

    /** A word to the reader, shown until the next job begins. */
    void say(String message) {
        if (!isBusy()) idle(message);
    }

    /** The strip; one line high whether something is done or not, so that nothing jumps. */
    JComponent strip() {
        return strip;
    }

    /** Stops all work for good. */
    @Override
    public void close() {
        stop("closed");
        look.stop();
        thread.shutdown();
    }

    /** A throwable as a reader is told: one line, calm, with what can be done. */
    static String told(Throwable failure) {
        if (failure instanceof CancellationException) return "stopped, nothing was changed";
        if (failure instanceof InputException) return failure.getMessage();
        if (failure instanceof UncheckedIOException unchecked) return told(unchecked.getCause());
        if (failure instanceof FileSystemException file && file.getReason() == null)
            return "cannot read or write " + OneLine.of(String.valueOf(file.getFile())) + " ("
                    + file.getClass().getSimpleName() + ")";
        if (failure instanceof IOException)
            return "cannot read or write: " + OneLine.of(String.valueOf(failure.getMessage()));
        if (failure instanceof OutOfMemoryError)
            return "not enough memory; what was open before is still there. Give Java more with -Xmx";
        return "an error of this program, not yours: " + OneLine.of(String.valueOf(failure));
    }

    private boolean stop(String why) {
        Optional<Running<?>> last = running;
        running = Optional.empty();
        last.ifPresent(one -> one.stop(why));
        return last.isPresent();
    }

    private void show(ActionEvent tick) {
        double share = running.map(one -> one.share).orElse(0.0);
        // until it has told something, how far it is is not known
        bar.setIndeterminate(share <= 0);
        bar.setValue((int) Math.round(STEPS * share));
    }

    private void idle(String message) {
        look.stop();
        String line = Plain.of(message);
        words.setText(line.isBlank() ? " " : line);
        words.setToolTipText(line.isBlank() ? null : line);
        bar.setIndeterminate(false);
        bar.setVisible(false);
        stop.setEnabled(false);
    }

    private void ended(Running<?> job, Runnable tell, String message) {
        if (running.filter(one -> one == job).isEmpty()) return;
        running = Optional.empty();
        idle(message);
        tell.run();
    }

    private static Thread daemon(Runnable work) {
        Thread thread = new Thread(work, "leiogauge-desk");
        thread.setDaemon(true);
        return thread;
    }

    /** One job on its way. */
    private final class Running<T> implements Runnable {
        private final String what;
        private final Job<T> job;
        private final Consumer<T> done;
        private final Consumer<Throwable> failed;
        private volatile boolean stopped;
        private volatile double share;

        Running(String what, Job<T> job, Consumer<T> done, Consumer<Throwable> failed) {
            this.what = what;
            this.job = job;
            this.done = done;
            this.failed = failed;
        }

        void stop(String why) {
            stopped = true;
            failed.accept(new CancellationException(why));
        }

        @Override
        public void run() {
            if (stopped) return;
            try {
                T result = job.run(this::at);
                SwingUtilities.invokeLater(() -> ended(this, () -> done.accept(result), what + ": done"));
            } catch (Exception | Error e) { // whatever it is, the reader is told and the window lives on
                SwingUtilities.invokeLater(() -> ended(this, () -> failed.accept(e), what + ": " + told(e)));
            }
        }

        private void at(double fraction) {
            if (stopped) throw new CancellationException("stopped");
            share = Math.max(share, Math.min(1, fraction));
        }
    }
}
