// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;

/** What the standard's features already say of the lesion, under the names that the trade uses. */
public final class LesionShape {
    private LesionShape() {}

    /**
     * Spread of the T2-weighted signal.
     *
     * @param standard the features of the region on the T2-weighted image
     */
    public static List<FeatureValue> t2Spread(List<FeatureValue> standard) {
        return pick(standard, List.of(LesionDefinitions.T2_VARIATION, LesionDefinitions.T2_ENTROPY));
    }

    private static List<FeatureValue> pick(List<FeatureValue> standard, List<Definition> wanted) {
        Map<String, FeatureValue> byCode = standard.stream()
                .filter(value -> !value.definition().code().isEmpty())
                .collect(Collectors.toMap(
                        value -> value.definition().code(), Function.identity(), (first, second) -> first));
        List<FeatureValue> values = new ArrayList<>();
        for (Definition definition : wanted) {
            FeatureValue found = byCode.get(definition.code());
            Measurement measurement = found == null
                    ? new Measurement.NotMeasured("its family is left out by the settings")
                    : found.measurement();
            values.add(new FeatureValue(definition, Aggregation.NONE, measurement));
        }
        return values;
    }
}
