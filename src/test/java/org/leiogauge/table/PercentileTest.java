// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class PercentileTest {
    // Oracle: by hand, r = share · 3: 0.9 gives r = 2.7, 4 + 0.7 · (8 − 4) = 6.8, exact but for rounding.
    @Test
    void aPercentileLiesOnTheLineBetweenItsTwoNeighbours() {
        double[] ascending = {1, 2, 4, 8};
        assertThat(Percentile.of(ascending, 0)).isEqualTo(1);
        assertThat(Percentile.of(ascending, 0.5)).isEqualTo(3);
        assertThat(Percentile.of(ascending, 0.9)).isCloseTo(6.8, within(1e-12));
        assertThat(Percentile.of(ascending, 1)).isEqualTo(8);
    }

    @Test
    void noValuesHaveNoPercentile() {
        assertThat(Percentile.of(new double[0], 0.5)).isNaN();
    }

    // Oracle: the same values in an array.
    @Test
    void valuesByRankGiveTheSameAsAnArrayOfThem() {
        double[] squares = new double[37];
        for (int i = 0; i < squares.length; i++) squares[i] = i * i;
        for (int percent = 0; percent <= 100; percent++)
            assertThat(Percentile.of(37, k -> k * k, percent / 100.0))
                    .isEqualTo(Percentile.of(squares, percent / 100.0));
    }
}
