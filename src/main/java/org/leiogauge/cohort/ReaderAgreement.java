// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * How well readers, or repeats, agree on the same lesions: in what was measured, in the outlines, in the terms.
 *
 * @param first what the first values of the features come from
 */
public record ReaderAgreement(
        String first,
        String second,
        Optional<Agreement> features,
        Optional<OutlineDifferences> outlines,
        Optional<ImpressionAgreement> impressions) {

    /**
     * Compares what the inputs hold: two feature tables; or a cohort's folder, the readers in it; or tables of impressions.
     *
     * @param readers of a cohort whose features are compared; none: the only two
     * @throws InputException if they are none of these, or have nothing in common
     */
    public static ReaderAgreement of(List<Path> inputs, List<String> readers, Workers workers, Progress progress)
            throws InputException, IOException {
        if (inputs.size() == 1 && CohortFolder.is(inputs.get(0)))
            return inCohort(inputs.get(0), readers, workers, progress);
        if (!readers.isEmpty())
            throw new InputException("--readers", "", String.join(",", readers), "a cohort's folder to find them in");
        for (Path input : inputs)
            if (Files.isDirectory(input))
                throw new InputException(
                        input, "", "a folder", inputs.size() == 1 ? "one that cohort wrote" : "tables, or one folder");
        if (inputs.size() == 2 && !Impressions.is(CsvTable.read(inputs.get(0))))
            return new ReaderAgreement(
                    inputs.get(0).toString(),
                    inputs.get(1).toString(),
                    Optional.of(Agreement.between(inputs.get(0), inputs.get(1))),
                    Optional.empty(),
                    Optional.empty());
        return new ReaderAgreement(
                "",
                "",
                Optional.empty(),
                Optional.empty(),
                Optional.of(ImpressionAgreement.of(Impressions.read(inputs), inputs.get(0))));
    }

    private static ReaderAgreement inCohort(Path cohort, List<String> wanted, Workers workers, Progress progress)
            throws InputException, IOException {
        List<String> readers = wanted.isEmpty() ? CohortFolder.readers(CohortFolder.drawn(cohort)) : wanted;
        if (readers.size() != 2)
            throw new InputException(
                    cohort,
                    "reader",
                    readers.size() + ": " + String.join(", ", readers),
                    "two readers, or two chosen by --readers FIRST,SECOND");
        Path first = table(cohort, readers.get(0));
        Path second = table(cohort, readers.get(1));
        Agreement features = Agreement.between(first, second);
        OutlineDifferences outlines = OutlineDifferences.in(cohort, workers, progress);
        return new ReaderAgreement(
                readers.get(0),
                readers.get(1),
                Optional.of(features),
                outlines.pairs().isEmpty() ? Optional.empty() : Optional.of(outlines),
                Optional.empty());
    }

    private static Path table(Path cohort, String reader) throws InputException {
        if (!Name.is(reader)) throw new InputException("--readers", "", reader, Name.WORDS);
        Path table = cohort.resolve("readers").resolve(reader + ".csv");
        if (!Files.isRegularFile(table))
            throw new InputException(table, "", "no such file", "a finished run with the reader " + reader);
        return table;
    }
}
