// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Gaussian;

class AdcSampleTest {
    private static final Grid GRID = Solids.grid(30, 30, 14, 2, 2, 4);
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(29, 29, 26, 20));

    @Test
    void theSpreadIsThatWithoutNoise() {
        SplittableRandom random = new SplittableRandom(5);
        float[] adc = new float[GRID.size().voxels()];
        float[] noise = new float[adc.length];
        for (int i = 0; i < adc.length; i++) {
            adc[i] = (float) (1 + 0.1 * Gaussian.next(random) + 0.15 * Gaussian.next(random));
            noise[i] = 0.15f;
        }
        Volume map = new Volume(GRID, adc);
        // Oracle: the standard deviation of the texture before noise came on top, 0.1; with it √(0.1² + 0.15²) = 0.180.
        // Some 60 neighbours know a variance to 18 %, the difference of two to 0.02 in standard deviations.
        assertThat(deviation(AdcSample.of(map, Optional.of(new Volume(GRID, noise)), LESION, false)))
                .isCloseTo(0.1, within(0.02));
        assertThat(deviation(AdcSample.of(map, Optional.empty(), LESION, false)))
                .isCloseTo(0.18, within(0.01));
    }

    @Test
    void mixedVoxelsAtTheBorderDoNotCountAndARimKeepsItsWeight() {
        Mask inner = WhollyInside.of(LESION, false);
        float[] adc = new float[GRID.size().voxels()];
        Arrays.fill(adc, 1.6f);
        for (int i = 0; i < adc.length; i++) if (inner.voxels()[i] != 0) adc[i] = 0.9f;
        float[] sample = AdcSample.of(new Volume(GRID, adc), Optional.empty(), LESION, true);
        // Oracle: made so: 0.9 in all voxels without a neighbour outside, 1.6 in the others and outside.
        assertThat(sample).hasSize(LESION.count()).containsOnly(0.9f);
    }

    private static double deviation(float[] values) {
        double mean = 0;
        for (float v : values) mean += v / values.length;
        double square = 0;
        for (float v : values) square += (v - mean) * (v - mean) / values.length;
        return Math.sqrt(square);
    }
}
