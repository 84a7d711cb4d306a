// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;

/** Picks one value out of a list of them. */
final class Values {
    private Values() {}

    static LesionValue find(List<LesionValue> values, Definition definition, String aggregation) {
        List<LesionValue> found = values.stream()
                .filter(value -> value.value().definition().equals(definition))
                .filter(value -> value.value().aggregation().name().equals(aggregation))
                .toList();
        if (found.size() != 1)
            throw new AssertionError(found.size() + " values of " + definition.feature() + ", " + aggregation);
        return found.get(0);
    }

    static Measurement measurement(List<LesionValue> values, Definition definition, String aggregation) {
        return find(values, definition, aggregation).value().measurement();
    }

    static double number(List<LesionValue> values, Definition definition) {
        return number(values, definition, "");
    }

    static double number(List<LesionValue> values, Definition definition, String aggregation) {
        Measurement found = measurement(values, definition, aggregation);
        return found.number()
                .orElseThrow(() -> new AssertionError(definition.feature() + " not measured: " + found.reason()));
    }

    static String reason(List<LesionValue> values, Definition definition) {
        return measurement(values, definition, "").reason();
    }
}
