// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;

class DistributionTest {
    // Data: eleven invented values from 0.62 to 1.40, as whole thousandths.
    private static final int[] VALUES = {620, 710, 780, 830, 880, 905, 950, 1020, 1100, 1270, 1400};

    // Oracle: base R 4.2.2, quantile(type = 7), of 1 to 10 and of the eleven values.
    @Test
    void percentilesMatchTypeSeven() {
        Distribution ten = of(IntStream.rangeClosed(1, 10).toArray());
        assertThat(percentiles(ten, 10, 25, 50, 75, 90))
                .containsExactly(new double[] {1.9, 3.25, 5.5, 7.75, 9.1}, within(1e-12));
        assertThat(percentiles(of(VALUES), 5, 10, 25, 50, 75, 90, 95))
                .containsExactly(new double[] {665, 710, 805, 905, 1060, 1270, 1335}, within(1e-9));
    }

    // Oracle: base R 4.2.2, moments of the population; a factor of 1000 changes neither.
    @Test
    void momentsAreThoseOfThePopulation() {
        assertThat(of(VALUES).skewness()).isCloseTo(0.5587355649, within(1e-9));
        assertThat(of(VALUES).excessKurtosis()).isCloseTo(-0.5223119781, within(1e-9));
        assertThat(of(VALUES).variance() * 11 / 10).isCloseTo(Math.pow(234.3084603, 2), within(1e-4));
    }

    private static Distribution of(int[] values) {
        int low = values[0];
        int[] counts = new int[values[values.length - 1] - low + 1];
        for (int value : values) counts[value - low]++;
        return Distribution.of(counts, low);
    }

    private static double[] percentiles(Distribution distribution, int... wanted) {
        return Arrays.stream(wanted).mapToDouble(distribution::percentile).toArray();
    }
}
