// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.util.concurrent.Semaphore;

/** Memory that the cases at work share: a case begins when what it is thought to take is free. */
public final class MemoryBudget {
    private static final int UNIT = 1 << 20;

    private final int units;
    private final Semaphore free;

    /** @param bytes for all cases together */
    public MemoryBudget(long bytes) {
        units = units(bytes, Integer.MAX_VALUE);
        free = new Semaphore(units, true);
    }

    /** Runs a case; one that wants more than there is runs alone. */
    public CaseResult run(CaseJob job) throws IOException {
        int wanted = units(job.memoryBytes(), units);
        free.acquireUninterruptibly(wanted);
        try {
            return job.run();
        } finally {
            free.release(wanted);
        }
    }

    private static int units(long bytes, int most) {
        return (int) Math.max(1, Math.min(most, bytes / UNIT));
    }
}
