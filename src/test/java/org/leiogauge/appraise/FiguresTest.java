// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.leiogauge.table.Interval;

class FiguresTest {
    // Oracle: rounded by hand.
    @Test
    void sharesAreNeverZeroOrHundredUnlessTheyAre() {
        assertThat(Figures.percent(0)).isEqualTo("0 %");
        assertThat(Figures.percent(1)).isEqualTo("100 %");
        assertThat(Figures.percent(0.00020955)).isEqualTo("0.021 %");
        assertThat(Figures.percent(0.0433)).isEqualTo("4.3 %");
        assertThat(Figures.percent(0.0996)).isEqualTo("10 %");
        assertThat(Figures.percent(0.375)).isEqualTo("38 %");
        assertThat(Figures.percent(0.9967)).isEqualTo("99.7 %");
        assertThat(Figures.percent(0.99999)).isEqualTo("> 99.9 %");
        assertThat(Figures.percent(1e-12)).isEqualTo("< 0.001 %");
        assertThat(Figures.percent(new Interval(1e-7, 0.00027))).isEqualTo("< 0.001 to 0.027 %");
        assertThat(Figures.percent(new Interval(0.0078, 0.25))).isEqualTo("0.78 to 25 %");
    }

    @Test
    void valuesHaveFourDigitsHoweverLargeOrSmall() {
        assertThat(Figures.digits(0)).isEqualTo("0");
        assertThat(Figures.digits(14000)).isEqualTo("14000");
        assertThat(Figures.digits(0.90549)).isEqualTo("0.9055");
        assertThat(Figures.digits(-1.5)).isEqualTo("-1.5");
        assertThat(Figures.digits(1e300)).isEqualTo("1E+300");
        assertThat(Figures.digits(1.23456e-300)).isEqualTo("1.235E-300");
        assertThat(Figures.whole(9980)).isEqualTo("9 980");
    }
}
