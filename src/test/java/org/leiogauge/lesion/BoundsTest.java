// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;

import org.apache.commons.math3.stat.StatUtils;
import org.junit.jupiter.api.Test;
import org.leiogauge.table.Definition;

class BoundsTest {
    // Oracle: by hand: of two equal peaks the fourth central moment is the square of the second, so the excess is 1 −
    // 3.
    @Test
    void theLeastExcessKurtosisIsThatOfTwoEqualPeaks() {
        double[] peaks = {-1, 1, -1, 1};
        double fourth = StatUtils.sumSq(new double[] {1, 1, 1, 1}) / 4;
        double excess = fourth / Math.pow(StatUtils.populationVariance(peaks), 2) - 3;
        assertThat(Bounds.of(LesionDefinitions.ADC_KURTOSIS).least()).isEqualTo(excess);
    }

    // Oracle: what the word means.
    @Test
    void everyFractionLiesBetweenZeroAndOne() {
        for (Definition definition : LesionDefinitions.all())
            if (definition.feature().matches(".*(fraction|share)\\b.*")
                    && definition.unit().equals("1"))
                assertThat(Bounds.of(definition)).as(definition.feature()).isEqualTo(new Bounds(0, 1));
    }
}
