// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.List;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Runs the cases of a cohort, in any order and place. Implementations but the local one are found by ServiceLoader. */
public interface CaseRunner {
    /** As the user calls it. */
    String name();

    /**
     * Reads a manifest.
     *
     * @param place of the manifest, as the user names it: a file, or what else this runner can read
     */
    default CohortManifest manifest(String place) throws InputException {
        try {
            return CohortManifest.read(Path.of(place));
        } catch (InvalidPathException e) {
            throw new InputException(place, "", "no path", "a manifest's file");
        }
    }

    /**
     * Runs every job.
     *
     * @param workers one per case at a time
     * @param memoryBytes that the cases running at one time may take together
     * @return one result per job, in the order of the jobs
     * @throws IOException if results cannot be written; jobs that finished stay finished
     */
    List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress) throws IOException;
}
