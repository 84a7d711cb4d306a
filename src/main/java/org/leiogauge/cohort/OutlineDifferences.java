// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.cohort.CohortFolder.Drawn;
import org.leiogauge.measure.OutlineComparison;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The outlines that several readers drew of the same lesions, each pair against each other.
 *
 * @param pairs in the order of cases, lesions and readers
 * @param passedOver what could not be compared, and why
 */
public record OutlineDifferences(List<OfPair> pairs, List<String> passedOver) {
    public OutlineDifferences {
        pairs = List.copyOf(pairs);
        passedOver = List.copyOf(passedOver);
    }

    /**
     * Two outlines of one lesion.
     *
     * @param values by their names, as {@link OutlineComparison} has them
     */
    public record OfPair(
            String caseName, String lesion, String first, String second, Map<String, Measurement> values) {}

    /** @param cohort the folder of a run */
    public static OutlineDifferences in(Path cohort, Workers workers, Progress progress)
            throws InputException, IOException {
        Map<List<String>, List<Drawn>> lesions = new LinkedHashMap<>();
        for (Drawn one : CohortFolder.drawn(cohort))
            lesions.computeIfAbsent(List.of(one.caseName(), one.lesion()), key -> new ArrayList<>())
                    .add(one);
        List<List<Drawn>> pairs = new ArrayList<>();
        for (List<Drawn> outlines : lesions.values())
            for (int i = 0; i < outlines.size(); i++)
                for (int j = i + 1; j < outlines.size(); j++) pairs.add(List.of(outlines.get(i), outlines.get(j)));
        List<Optional<OfPair>> compared = workers.<Optional<OfPair>, InputException>map(pairs.size(), i -> {
            progress.at((double) i / pairs.size());
            return compared(pairs.get(i).get(0), pairs.get(i).get(1));
        });
        List<String> passedOver = new ArrayList<>();
        for (int i = 0; i < compared.size(); i++)
            if (compared.get(i).isEmpty()) {
                Drawn first = pairs.get(i).get(0);
                passedOver.add("outlines of " + first.caseName() + " " + first.lesion() + " by " + first.reader()
                        + " and " + pairs.get(i).get(1).reader() + ": drawn on different series");
            }
        return new OutlineDifferences(
                compared.stream().flatMap(Optional::stream).toList(), passedOver);
    }

    private static Optional<OfPair> compared(Drawn first, Drawn second) throws InputException {
        return OutlineComparison.of(first.folder(), second.folder(), Workers.SINGLE)
                .map(values -> new OfPair(first.caseName(), first.lesion(), first.reader(), second.reader(), values));
    }
}
