// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;

/**
 * One lesion-level value and why it wants care.
 *
 * @param caution empty if it needs none
 */
public record LesionValue(FeatureValue value, String caution) {

    /** A value that exists once. */
    public static LesionValue of(Definition definition, Measurement measurement) {
        return new LesionValue(new FeatureValue(definition, Aggregation.NONE, measurement), "");
    }

    public LesionValue with(String reason) {
        return new LesionValue(value, reason);
    }
}
