// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.List;
import java.util.Optional;
import org.leiogauge.table.Definition;
import org.leiogauge.table.LesionRow;

/**
 * Which value of a feature table is meant.
 *
 * @param group as in the table; {@code lesion} for lesion-level features
 * @param region which part of the lesion
 * @param series the series' role; where absent, the one there is
 * @param aggregation as in the table, as a tissue's name or a phase; where absent, the one there is
 * @param unit in UCUM; a table in another unit does not serve
 */
public record FeatureKey(
        String group,
        String feature,
        String region,
        Optional<String> series,
        Optional<String> aggregation,
        String unit) {

    /** Why it cannot be meant; empty if the feature exists in that unit. */
    Optional<String> refusal(List<Definition> known) {
        List<Definition> named = known.stream()
                .filter(d -> d.group().equals(group) && d.feature().equals(feature))
                .toList();
        if (named.isEmpty())
            return Optional.of("the feature '" + feature + "' of group '" + group
                    + "', which is none of those measured (dictionary.csv lists them)");
        if (named.stream().anyMatch(d -> d.unit().equals(unit))) return Optional.empty();
        return Optional.of("unit " + unit + " for the feature '" + feature + "', which is measured in "
                + named.get(0).unit());
    }

    boolean names(LesionRow row) {
        Definition definition = row.value().definition();
        return definition.group().equals(group)
                && definition.feature().equals(feature)
                && row.region().equals(region)
                && series.map(row.series()::equals).orElse(true)
                && aggregation.map(row.value().aggregation().name()::equals).orElse(true);
    }

    /** As a reader would say it. */
    String label() {
        return feature
                + aggregation.map(a -> " (" + a + ")").orElse("")
                + (region.equals("lesion") ? "" : " in " + region)
                + series.filter(s -> !group.equals("lesion"))
                        .map(s -> " on " + s)
                        .orElse("");
    }
}
