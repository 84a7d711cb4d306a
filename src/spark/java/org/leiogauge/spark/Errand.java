// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import java.io.IOException;
import java.io.Serializable;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.apache.hadoop.conf.Configuration;
import org.leiogauge.cohort.CaseJob;
import org.leiogauge.cohort.CaseResult;
import org.leiogauge.cohort.CohortCase;
import org.leiogauge.cohort.MemoryBudget;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.WholeFolder;

/**
 * One case as it is sent to a machine.
 *
 * @param caseFile empty if there is none
 */
record Errand(
        int number,
        long line,
        String name,
        String study,
        String outline,
        String caseFile,
        String site,
        String reader,
        String outcome)
        implements Serializable {

    /**
     * What all cases have in common.
     *
     * @param settings as YAML
     * @param cases the folder of all cases
     * @param token a file in that folder: where it is seen, results are written in place
     * @param memoryBytes that the cases at work on one machine may take together
     * @param stagedBytes that may be copied to measure one case
     */
    record Common(String settings, String software, String cases, String token, long memoryBytes, long stagedBytes)
            implements Serializable {}

    /**
     * What comes back.
     *
     * @param failure why the case could not be measured; empty if it was
     * @param stop why the whole run must stop; empty if it need not
     * @param packed the case's folder, if it could not be written in place; else empty
     */
    record Answer(int number, String failure, String stop, byte[] packed) implements Serializable {
        CaseResult result() {
            return new CaseResult(number, failure.isEmpty() ? Optional.empty() : Optional.of(failure));
        }

        @Override
        public boolean equals(Object other) {
            return this == other;
        }

        @Override
        public int hashCode() {
            return number;
        }
    }

    private static final byte[] NOTHING = {};

    // One per machine and run: what its cases take together is bounded.
    private static MemoryBudget budget;
    private static String budgetOf = "";

    /** @param elsewhere whether other machines are to find its files, to which a relative path says nothing */
    static Errand of(CaseJob job, boolean elsewhere) {
        CohortCase one = job.one();
        return new Errand(
                job.number(),
                one.line(),
                one.name(),
                text(one.study(), elsewhere),
                text(one.outline(), elsewhere),
                one.caseFile().map(file -> text(file, elsewhere)).orElse(""),
                one.site(),
                one.reader(),
                one.outcome());
    }

    private static String text(Path path, boolean elsewhere) {
        boolean here = HadoopPlaces.hadoop(path).isEmpty();
        return (elsewhere && here ? path.toAbsolutePath() : path).toString();
    }

    /** Measures the case on this machine. */
    Answer run(Common common, Configuration configuration) {
        try {
            Path temporary = Files.createTempDirectory("leiogauge-");
            try {
                return within(temporary, common, configuration);
            } finally {
                WholeFolder.delete(temporary);
            }
        } catch (IOException e) {
            return new Answer(number, "", OneLine.of(String.valueOf(e.getMessage())), NOTHING);
        }
    }

    private Answer within(Path temporary, Common common, Configuration configuration) throws IOException {
        Staging staging = new Staging(new HadoopPlaces(configuration), temporary, common.stagedBytes());
        CohortCase one;
        try {
            one = staging.bring(given());
        } catch (IOException e) {
            return new Answer(number, OneLine.of("cannot be copied: " + e.getMessage()), "", NOTHING);
        }
        Path cases = Path.of(common.cases());
        boolean inPlace = Files.exists(cases.resolve(common.token()));
        if (!inPlace) cases = Files.createDirectories(temporary.resolve("cases"));
        CaseJob job = new CaseJob(cases, number, one, settings(temporary, common.settings()), common.software());
        CaseResult result = budget(common).run(job);
        String failure = result.failure().map(staging::asNamed).orElse("");
        boolean send = !inPlace && failure.isEmpty();
        return new Answer(number, failure, "", send ? Packed.pack(job.folder()) : NOTHING);
    }

    private CohortCase given() {
        return new CohortCase(
                line,
                name,
                Path.of(study),
                Path.of(outline),
                caseFile.isEmpty() ? Optional.empty() : Optional.of(Path.of(caseFile)),
                site,
                reader,
                outcome);
    }

    private static Settings settings(Path temporary, String text) throws IOException {
        Path file = temporary.resolve("settings.yaml");
        Files.writeString(file, text);
        try {
            return SettingsFile.read(Optional.of(file), List.of());
        } catch (InputException e) {
            throw new IllegalStateException("settings that were read before", e);
        }
    }

    private static synchronized MemoryBudget budget(Common common) {
        if (!budgetOf.equals(common.token())) {
            budget = new MemoryBudget(common.memoryBytes());
            budgetOf = common.token();
        }
        return budget;
    }
}
