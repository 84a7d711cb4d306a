// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Makes the folder of a finished run without measuring: every case of a manifest gets the tables of one measured case, with
 * its own name and other values, and stubs for its other files. To see what going on with a large run costs
 * (docs/scale.md); no test runs it.
 */
final class CopiedCohort {
    private CopiedCohort() {}

    /** @param arguments folder of the measured case, manifest, folder of the run, settings as {@code key=value} */
    public static void main(String[] arguments) throws IOException, InputException {
        Path measured = Path.of(arguments[0]);
        List<String> settings = Arrays.asList(arguments).subList(3, arguments.length);
        Cohort.run(
                CohortManifest.read(Path.of(arguments[1])),
                new Cohort.Options(
                        Path.of(arguments[2]),
                        false,
                        new Copies(measured, LesionTable.readTidy(measured.resolve(FinishedCase.TIDY))),
                        1L << 30,
                        SettingsFile.read(Optional.empty(), settings),
                        "Leiogauge 0.1.0"),
                Workers.SINGLE,
                Progress.NONE);
    }

    private record Copies(Path measured, List<LesionRow> rows) implements CaseRunner {
        @Override
        public String name() {
            return "copies";
        }

        @Override
        public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
                throws IOException {
            List<CaseResult> results = new ArrayList<>();
            for (CaseJob job : jobs) results.add(copy(job));
            return results;
        }

        private CaseResult copy(CaseJob job) throws IOException {
            Path part = job.cases().resolve("." + job.number());
            SplittableRandom random = new SplittableRandom(job.number());
            List<LesionRow> own = rows.stream()
                    .map(row -> other(row, job.one().name(), random))
                    .toList();
            for (Path file : Disk.files(measured)) {
                Path to = part.resolve(measured.relativize(file).toString());
                Files.createDirectories(to.getParent());
                if (file.endsWith(FinishedCase.DICTIONARY)) Files.copy(file, to);
                else if (!file.endsWith(FinishedCase.LIST)) Files.writeString(to, "stub");
            }
            LesionTable.writeTidy(part.resolve(FinishedCase.TIDY), own);
            LesionTable.writeWide(part.resolve(FinishedCase.WIDE), own);
            CohortCase one = job.one();
            new ManifestRow(job.software(), one.reader(), one.site(), one.outcome()).write(part);
            FinishedCase.seal(part, job.folder());
            return new CaseResult(job.number(), Optional.empty());
        }

        private static LesionRow other(LesionRow row, String name, SplittableRandom random) {
            Measurement value = row.value().measurement();
            if (value.number().isPresent())
                value = new Measurement.Measured(value.number().getAsDouble() * random.nextDouble(0.5, 1.5));
            FeatureValue other =
                    new FeatureValue(row.value().definition(), row.value().aggregation(), value);
            return new LesionRow(name, row.lesion(), row.region(), row.series(), other, row.interval(), row.caution());
        }
    }
}
