// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.ArrayList;
import java.util.List;
import java.util.concurrent.ExecutionException;
import java.util.concurrent.ExecutorService;
import java.util.concurrent.Executors;
import java.util.concurrent.Future;
import java.util.concurrent.atomic.AtomicBoolean;

/**
 * A pool of threads that the outermost caller brings and hands down.
 *
 * <p>Work is cut by the data, never by the number of threads, and results come back in the order of the pieces: the same
 * input gives the same bytes for any number of threads. One level is parallel at a time: work that is handed to the pool
 * from inside the pool runs in the thread that hands it over.
 */
public final class Workers implements AutoCloseable {
    /** No threads of its own: all work runs in the thread that hands it over. */
    public static final Workers SINGLE = new Workers(1);

    private static final ThreadLocal<Boolean> INSIDE = ThreadLocal.withInitial(() -> false);

    private final int threads;
    private final ExecutorService pool;

    private Workers(int threads) {
        this.threads = threads;
        this.pool = threads == 1 ? null : Executors.newFixedThreadPool(threads, Workers::newThread);
    }

    /** @param threads 1 or more */
    public static Workers of(int threads) {
        if (threads < 1) throw new IllegalArgumentException("threads must be 1 or more, got " + threads);
        return threads == 1 ? SINGLE : new Workers(threads);
    }

    public int threads() {
        return threads;
    }

    /** One piece of work that yields a result. */
    @FunctionalInterface
    public interface Piece<T, X extends Exception> {
        T run(int piece) throws X;
    }

    /** One piece of work that leaves its result where the caller put it. */
    @FunctionalInterface
    public interface Step<X extends Exception> {
        void run(int piece) throws X;
    }

    /**
     * Runs pieces 0 to {@code count - 1} and returns their results in that order.
     *
     * @throws X what the piece with the lowest number threw; pieces that had not begun by then are left out, those that had
     *     have ended
     */
    public <T, X extends Exception> List<T> map(int count, Piece<T, X> work) throws X {
        List<T> results = new ArrayList<>(count);
        if (pool == null || count < 2 || INSIDE.get()) {
            for (int i = 0; i < count; i++) results.add(work.run(i));
            return results;
        }
        List<Future<T>> futures = new ArrayList<>(count);
        AtomicBoolean stopped = new AtomicBoolean();
        for (int i = 0; i < count; i++) {
            int piece = i;
            futures.add(pool.submit(() -> stopped.get() ? null : inside(work, piece)));
        }
        try {
            for (Future<T> future : futures) results.add(future.get());
            return results;
        } catch (ExecutionException e) {
            stopped.set(true);
            futures.forEach(Workers::await);
            throw Workers.<X>asThrown(e.getCause());
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException("interrupted while waiting for work", e);
        } finally {
            futures.forEach(future -> future.cancel(false));
        }
    }

    /** As {@link #map}, for work without a result. */
    public <X extends Exception> void forEach(int count, Step<X> work) throws X {
        map(count, piece -> {
            work.run(piece);
            return Boolean.TRUE;
        });
    }

    @Override
    public void close() {
        if (pool != null) pool.shutdownNow();
    }

    // Its failure is not the one that is thrown; it only must not go on behind the caller's back.
    private static void await(Future<?> future) {
        try {
            future.get();
        } catch (ExecutionException e) {
            return;
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
        }
    }

    private static <T, X extends Exception> T inside(Piece<T, X> work, int piece) throws X {
        INSIDE.set(true);
        try {
            return work.run(piece);
        } finally {
            INSIDE.set(false);
        }
    }

    // A piece throws X or something unchecked, nothing else.
    @SuppressWarnings("unchecked")
    private static <X extends Exception> X asThrown(Throwable cause) {
        if (cause instanceof Error error) throw error;
        if (cause instanceof RuntimeException unchecked) throw unchecked;
        return (X) cause;
    }

    private static Thread newThread(Runnable work) {
        Thread thread = new Thread(work, "leiogauge-worker");
        thread.setDaemon(true);
        return thread;
    }
}
