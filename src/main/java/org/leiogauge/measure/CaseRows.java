// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.stability.Stability.Steadiness;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;

/** The rows of the feature table: lesion-level features in the order of their registry, then the standard's per series. */
final class CaseRows {
    private static final List<Definition> ORDER = LesionDefinitions.all();

    private CaseRows() {}

    /** @param series with the outline's own first */
    static List<LesionRow> of(CaseFile caseFile, List<SteadyValue> lesion, List<SeriesMeasurement> series) {
        List<LesionRow> rows = new ArrayList<>();
        // Sorting keeps the order of what is alike, as the phases of one feature.
        lesion.stream()
                .sorted(Comparator.comparingInt(
                        v -> ORDER.indexOf(v.placed().value().value().definition())))
                .forEach(v -> rows.add(row(caseFile, v)));
        for (SeriesMeasurement one : series)
            for (FeatureValue value : one.features())
                rows.add(new LesionRow(
                        caseFile.caseName(), caseFile.lesion(), "lesion", one.key(), value, Optional.empty(), ""));
        return List.copyOf(rows);
    }

    private static LesionRow row(CaseFile caseFile, SteadyValue v) {
        Optional<Steadiness> steadiness = v.steadiness();
        String caution = Stream.of(
                        v.placed().value().caution(),
                        steadiness.map(Steadiness::caution).orElse(""))
                .filter(text -> !text.isEmpty())
                .collect(Collectors.joining("; "));
        return new LesionRow(
                caseFile.caseName(),
                caseFile.lesion(),
                "lesion",
                v.placed().series(),
                v.placed().value().value(),
                steadiness.flatMap(Steadiness::interval),
                caution);
    }
}
