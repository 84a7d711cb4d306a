// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Runs cases in this process, as many at once as there are workers and as fit into the memory. */
public final class LocalRunner implements CaseRunner {
    @Override
    public String name() {
        return "local";
    }

    @Override
    public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
            throws IOException {
        MemoryBudget memory = new MemoryBudget(memoryBytes);
        AtomicInteger done = new AtomicInteger();
        AtomicBoolean stopped = new AtomicBoolean();
        return workers.<CaseResult, IOException>map(jobs.size(), i -> {
            // the disk is full, or the user asked to stop: what has not begun is left for the resumed run
            if (stopped.get()) return new CaseResult(jobs.get(i).number(), Optional.of("not begun"));
            boolean whole = false;
            try {
                CaseResult result = memory.run(jobs.get(i));
                progress.at((double) done.incrementAndGet() / jobs.size());
                whole = true;
                return result;
            } finally {
                if (!whole) stopped.set(true);
            }
        });
    }
}
