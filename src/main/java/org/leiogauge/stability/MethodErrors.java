// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import java.util.Map;
import org.leiogauge.table.FeatureValue;

/**
 * The method errors of lesion-level features.
 *
 * @param byName keys: the feature's name, or name and aggregation with a space between, which goes first
 */
public record MethodErrors(Map<String, MethodError> byName) {
    public static final MethodErrors NONE = new MethodErrors(Map.of());

    private static final String CALIBRATED =
            " Interval (low, high): draws of outline, alignment and noise together with the error of the method, sized so"
                    + " that it held the truth of 95 % of invented lesions; not calibrated on patients.";
    private static final String DRAWS =
            " Interval (low, high): the middle 95 % of draws of outline, alignment and noise; the error of the method"
                    + " itself is not known and not in it.";

    public MethodErrors {
        byName = Map.copyOf(byName);
    }

    /** {@link MethodError#NONE} where it is not known. */
    public MethodError of(FeatureValue value) {
        String feature = value.definition().feature();
        MethodError ofFeature = byName.getOrDefault(feature, MethodError.NONE);
        return byName.getOrDefault(feature + " " + value.aggregation().name(), ofFeature);
    }

    public boolean isKnown(FeatureValue value) {
        return !of(value).equals(MethodError.NONE);
    }

    /** What the interval of a value means, as a sentence for the dictionary. */
    public String meaning(FeatureValue value) {
        return isKnown(value) ? CALIBRATED : DRAWS;
    }
}
