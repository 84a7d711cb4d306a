// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Component;
import java.io.IOException;
import java.util.List;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.function.Supplier;
import java.util.stream.Stream;
import javax.swing.JButton;
import javax.swing.JLabel;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.leiogauge.task.InputException;

// The time limit only keeps a hanging test from hanging the build.
@Timeout(60)
class BackgroundTest {
    private Background background;
    private final BlockingQueue<String> told = new LinkedBlockingQueue<>();

    @BeforeEach
    void make() throws Exception {
        background = onEventThread(Background::new);
    }

    @AfterEach
    void close() throws Exception {
        SwingUtilities.invokeAndWait(background::close);
    }

    @Test
    void theResultComesOnTheEventThreadAndTheWorkIsDoneOnAnother() throws Exception {
        run("adding", progress -> SwingUtilities.isEventDispatchThread() + " 42");
        assertThat(next()).isEqualTo("done false 42 on the event thread");
        assertThat(words()).isEqualTo("adding: done");
        assertThat(stop().isEnabled()).isFalse();
    }

    @Test
    void aFailureIsToldCalmlyOnTheStripAndTheNextJobRuns() throws Exception {
        run("reading", progress -> {
            throw new InputException("a.dcm", "Rows", "0", "1 or more");
        });
        assertThat(next()).isEqualTo("failed InputException on the event thread");
        assertThat(words()).isEqualTo("reading: a.dcm: Rows: found 0, expected 1 or more");
        run("reading", progress -> {
            throw new StackOverflowError();
        });
        assertThat(next()).startsWith("failed StackOverflowError");
        run("again", progress -> "well");
        assertThat(next()).startsWith("done well");
    }

    @Test
    void theStopButtonEndsAJobAtItsNextStepAndSaysSo() throws Exception {
        CountDownLatch begun = new CountDownLatch(1);
        CountDownLatch asked = new CountDownLatch(1);
        AtomicBoolean ended = new AtomicBoolean();
        run("measuring", progress -> {
            begun.countDown();
            asked.await();
            try {
                progress.at(0.5);
                return "too far";
            } finally {
                ended.set(true);
            }
        });
        begun.await();
        assertThat(stop().isEnabled()).isTrue();
        SwingUtilities.invokeAndWait(() -> stop().doClick());
        // at once, though the job has not noticed yet
        assertThat(next()).isEqualTo("failed CancellationException on the event thread");
        assertThat(words()).isEqualTo("measuring: stopped, nothing was changed");
        asked.countDown();
        run("after", progress -> "ended " + ended.get());
        assertThat(next()).startsWith("done ended true");
        assertThat(told).isEmpty();
    }

    @Test
    void aNewJobReplacesTheOneThatRunsAndNothingOfTheOldOneComesThrough() throws Exception {
        CountDownLatch begun = new CountDownLatch(1);
        CountDownLatch go = new CountDownLatch(1);
        run("old", progress -> {
            begun.countDown();
            go.await();
            return "old";
        });
        begun.await();
        run("never begun", progress -> "never");
        run("new", progress -> "new");
        go.countDown();
        assertThat(List.of(next(), next(), next()))
                .containsExactly(
                        "failed CancellationException on the event thread",
                        "failed CancellationException on the event thread",
                        "done new on the event thread");
        assertThat(told).isEmpty();
    }

    @Test
    void wordsFromAFileCannotBreakTheStripOrBecomeMarkup() throws Exception {
        SwingUtilities.invokeAndWait(() -> background.say("<html><b>bold\nnext\u202e"));
        assertThat(words()).isEqualTo(" <html><b>bold?next?");
        // Oracle: Swing keeps a page under this key for whatever it takes for markup.
        assertThat(onEventThread(() -> label().getClientProperty("html") == null))
                .isTrue();
    }

    @Test
    void everyFailureHasWordsForTheReader() {
        assertThat(Background.told(new IOException("No space left on device")))
                .isEqualTo("cannot read or write: No space left on device");
        assertThat(Background.told(new CancellationException())).contains("nothing was changed");
        assertThat(Background.told(new OutOfMemoryError())).contains("not enough memory");
        assertThat(Background.told(new NullPointerException())).contains("not yours");
    }

    private void run(String what, Background.Job<String> job) throws Exception {
        SwingUtilities.invokeAndWait(() -> background.run(
                what,
                job,
                result -> told.add("done " + result + thread()),
                failure -> told.add("failed " + failure.getClass().getSimpleName() + thread())));
    }

    private String next() throws InterruptedException {
        return told.poll(50, TimeUnit.SECONDS);
    }

    private String words() throws Exception {
        return onEventThread(() -> label().getText());
    }

    private JLabel label() {
        return part("work-words", JLabel.class);
    }

    private JButton stop() {
        return part("work-stop", JButton.class);
    }

    private <T extends Component> T part(String name, Class<T> type) {
        return Stream.of(background.strip().getComponents())
                .filter(part -> name.equals(part.getName()))
                .map(type::cast)
                .findFirst()
                .orElseThrow();
    }

    private static String thread() {
        return SwingUtilities.isEventDispatchThread() ? " on the event thread" : " elsewhere";
    }

    private static <T> T onEventThread(Supplier<T> work) throws Exception {
        BlockingQueue<T> result = new LinkedBlockingQueue<>();
        SwingUtilities.invokeAndWait(() -> result.add(work.get()));
        return result.take();
    }
}
