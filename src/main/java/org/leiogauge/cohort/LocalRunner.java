// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Runs cases in this process, as many at once as there are workers and as fit into the memory, the largest first. */
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
        List<Integer> order = largestFirst(jobs);
        CaseResult[] results = new CaseResult[jobs.size()];
        workers.<IOException>forEach(jobs.size(), turn -> {
            int i = order.get(turn);
            // the disk is full, or the user asked to stop: what has not begun is left for the resumed run
            if (stopped.get()) {
                results[i] = new CaseResult(jobs.get(i).number(), Optional.of("not begun"));
                return;
            }
            boolean whole = false;
            try {
                results[i] = memory.run(jobs.get(i));
                progress.at((double) done.incrementAndGet() / jobs.size());
                whole = true;
            } finally {
                if (!whole) stopped.set(true);
            }
        });
        return List.of(results);
    }

    // A long one that begins last would run alone at the end.
    private static List<Integer> largestFirst(List<CaseJob> jobs) {
        long[] bytes = jobs.stream().mapToLong(CaseJob::memoryBytes).toArray();
        List<Integer> order = new ArrayList<>();
        for (int i = 0; i < bytes.length; i++) order.add(i);
        order.sort(Comparator.comparingLong(i -> -bytes[i]));
        return order;
    }
}
