// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.function.ToDoubleFunction;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;

/**
 * One feature of the standard: what it means and its formula, side by side.
 *
 * @param <S> what the formula is worked out from, as a matrix
 * @param formula not finite where the feature is undefined
 * @param undefined why the feature is undefined where it is
 */
record Feature<S>(Definition definition, ToDoubleFunction<S> formula, String undefined) {
    static final String SOURCE = "IBSI reference manual, arXiv:1612.07003, ";

    static <S> Feature<S> of(
            Family family,
            String name,
            String code,
            String unit,
            String meaning,
            String undefined,
            ToDoubleFunction<S> formula) {
        Definition definition = new Definition(family.group(), name, code, unit, meaning, SOURCE + code);
        return new Feature<>(definition, formula, undefined);
    }

    /** All features of one state. */
    static <S> List<FeatureValue> of(List<Feature<S>> features, S state, Aggregation aggregation) {
        return features.stream()
                .map(f -> f.value(Measurement.of(f.formula.applyAsDouble(state), f.undefined), aggregation))
                .toList();
    }

    /** The mean of each feature over the states in which it is defined. */
    static <S> List<FeatureValue> mean(List<Feature<S>> features, List<S> states, Aggregation aggregation) {
        return features.stream().map(f -> f.value(f.mean(states), aggregation)).toList();
    }

    static <S> List<FeatureValue> notMeasured(List<Feature<S>> features, String reason, Aggregation aggregation) {
        return features.stream()
                .map(f -> f.value(new Measurement.NotMeasured(reason), aggregation))
                .toList();
    }

    private FeatureValue value(Measurement measurement, Aggregation aggregation) {
        return new FeatureValue(definition, aggregation, measurement);
    }

    private Measurement mean(List<S> states) {
        double sum = 0;
        int defined = 0;
        for (S state : states) {
            double value = formula.applyAsDouble(state);
            if (!Double.isFinite(value)) continue;
            sum += value;
            defined++;
        }
        return Measurement.of(sum / defined, undefined);
    }
}
