// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Semaphore;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Runs cases in this process, as many at once as there are workers and as fit into the memory. */
public final class LocalRunner implements CaseRunner {
    private static final int UNIT = 1 << 20;

    @Override
    public String name() {
        return "local";
    }

    @Override
    public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
            throws IOException {
        int budget = (int) Math.max(1, Math.min(Integer.MAX_VALUE, memoryBytes / UNIT));
        Semaphore memory = new Semaphore(budget, true);
        AtomicInteger done = new AtomicInteger();
        AtomicBoolean stopped = new AtomicBoolean();
        return workers.<CaseResult, IOException>map(jobs.size(), i -> {
            // the disk is full, or the user asked to stop: what has not begun is left for the resumed run
            if (stopped.get()) return new CaseResult(jobs.get(i).number(), Optional.of("not begun"));
            boolean whole = false;
            try {
                CaseResult result = within(memory, budget, jobs.get(i));
                progress.at((double) done.incrementAndGet() / jobs.size());
                whole = true;
                return result;
            } finally {
                if (!whole) stopped.set(true);
            }
        });
    }

    // A case that wants more than there is runs alone.
    private static CaseResult within(Semaphore memory, int budget, CaseJob job) throws IOException {
        int wanted = (int) Math.max(1, Math.min(budget, job.memoryBytes() / UNIT));
        memory.acquireUninterruptibly(wanted);
        try {
            return job.run();
        } finally {
            memory.release(wanted);
        }
    }
}
