// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.atomic.AtomicLong;
import java.util.function.Consumer;
import java.util.function.Supplier;
import javax.swing.SwingUtilities;

/**
 * Short work that follows a control as it moves: off the event thread, and only the last wish counts. Results that were
 * overtaken are not handed over. For the event thread.
 */
final class Latest<T> {
    private final ExecutorService thread = Executors.newSingleThreadExecutor(Latest::daemon);
    private final AtomicLong last = new AtomicLong();
    private final Consumer<T> shown;

    /** @param shown gets the results, on the event thread */
    Latest(Consumer<T> shown) {
        this.shown = shown;
    }

    void ask(Supplier<T> work) {
        long number = last.incrementAndGet();
        thread.execute(() -> {
            if (last.get() != number) return;
            T result = work.get();
            SwingUtilities.invokeLater(() -> {
                if (last.get() == number) shown.accept(result);
            });
        });
    }

    /** Nothing that was asked for is wanted any more. */
    void drop() {
        last.incrementAndGet();
    }

    private static Thread daemon(Runnable work) {
        Thread thread = new Thread(work, "leiogauge-latest");
        thread.setDaemon(true);
        return thread;
    }
}
