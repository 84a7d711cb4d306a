// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.HashMap;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.stability.MethodError;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.task.Shipped;
import org.leiogauge.task.Yaml;

/**
 * The YAML form of the method errors, as they come inside the program.
 *
 * @param about how they were found
 * @param share of the lesions that they were found on whose truth the intervals hold
 * @param features by name; an entry has its half-width as a number, as a share of the value or of the lesion's spread of the
 *     ADC
 */
record MethodErrorFile(String about, double share, Map<String, Entry> features) {
    static final String NAME = "method-errors.yaml";

    private static final MethodErrors SHIPPED = Shipped.read(
                    NAME, text -> Yaml.PLAIN.parse(text, NAME, MethodErrorFile.class))
            .errors();

    /** One feature's. */
    record Entry(
            Optional<Double> absolute,
            Optional<Double> relative,
            Optional<Double> ofSpread,
            Optional<Double> least,
            Optional<Double> most,
            double range) {
        MethodError error() {
            return new MethodError(
                    absolute.orElse(0.0),
                    relative.orElse(0.0),
                    ofSpread.orElse(0.0),
                    least.orElse(Double.NEGATIVE_INFINITY),
                    most.orElse(Double.POSITIVE_INFINITY),
                    range);
        }
    }

    static MethodErrors shipped() {
        return SHIPPED;
    }

    MethodErrors errors() {
        Map<String, MethodError> errors = new HashMap<>();
        features.forEach((name, entry) -> errors.put(name, entry.error()));
        return new MethodErrors(errors);
    }
}
