// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.table.Interval;

class CountsTest {
    @Test
    void wilsonLimitsMatchTheWorkedExamples() {
        // Oracle: Newcombe 1998 worked examples, r-cran-hmisc 4.8 and closed form; 1e-8 as printed.
        limits(new Proportion(81, 263).wilson(), 0.2552885199, 0.366209577);
        limits(new Proportion(15, 148).wilson(), 0.06238639953, 0.1604872417);
        limits(new Proportion(0, 20).wilson(), 0, 0.1611251581);
        limits(new Proportion(1, 29).wilson(), 0.0061132143, 0.1717552188);
        limits(new Proportion(19, 19).wilson(), 0.8318207759, 1);
    }

    @Test
    void clopperPearsonLimitsMatchAnotherLibrary() {
        // Oracle: r-cran-hmisc 4.8; 19 of 19 and 21 of 22 are also printed by Lakhman 2017.
        limits(new Proportion(81, 263).clopperPearson(), 0.2527367456, 0.3676219226);
        limits(new Proportion(0, 20).clopperPearson(), 0, 0.168433471);
        limits(new Proportion(19, 19).clopperPearson(), 0.8235330882, 1);
        limits(new Proportion(21, 22).clopperPearson(), 0.7715556023, 0.9988498525);
    }

    @Test
    void likelihoodRatiosMatchThePublishedOnes() {
        // Oracle: five-grade system I-V, published LR+ 9.745 and LR- 0.162.
        Counts counts = new Counts(23, 4, 25, 261);
        assertThat(counts.positiveLikelihoodRatio()).isCloseTo(9.745185, within(1e-5));
        assertThat(counts.negativeLikelihoodRatio()).isCloseTo(0.162339, within(1e-5));
        assertThat(new Counts(18, 1, 0, 22).positiveLikelihoodRatio()).isInfinite();
    }

    @Test
    void postTestProbabilityMatchesBayesByHand() {
        // Oracle: Bayes, closed form, at sensitivity 0.9, specificity 0.96, prevalence 1/498.
        Counts counts = new Counts(90, 10, 4, 96);
        assertThat(counts.postTest(true, 1 / 498.0)).isCloseTo(0.04331088, within(1e-7));
        assertThat(counts.postTest(false, 1 / 498.0)).isCloseTo(0.00020955, within(1e-7));
        // Oracle: by hand, of 200 half are ill: 90 true among 94 positives, 10 ill among 106 negatives.
        assertThat(counts.postTest(true, 0.5)).isCloseTo(90 / 94.0, within(1e-12));
        assertThat(counts.postTest(false, 0.5)).isCloseTo(10 / 106.0, within(1e-12));
    }

    @Test
    void postTestIntervalHoldsTheProbability() {
        for (Counts counts :
                new Counts[] {new Counts(12, 4, 1, 23), new Counts(19, 0, 1, 21), new Counts(10, 0, 5, 78)})
            for (boolean positive : new boolean[] {true, false}) {
                Interval interval = counts.postTestInterval(positive, 0.01);
                assertThat(counts.postTest(positive, 0.01)).isBetween(interval.low(), interval.high());
            }
    }

    @Test
    void prevalenceOutsideZeroAndOneIsRefused() {
        for (double wrong : new double[] {0, 1, -0.1, 1.5, Double.NaN})
            assertThatThrownBy(() -> new Counts(1, 1, 1, 1).postTest(true, wrong))
                    .hasMessage("prevalence must lie between 0 and 1, both excluded, got " + wrong);
        assertThatThrownBy(() -> new Counts(0, 0, 1, 1)).hasMessageContaining("at least one with");
        assertThatThrownBy(() -> new Proportion(3, 2)).hasMessageContaining("got 3 of 2");
    }

    private static void limits(Interval interval, double low, double high) {
        assertThat(interval.low()).isCloseTo(low, within(1e-8));
        assertThat(interval.high()).isCloseTo(high, within(1e-8));
    }
}
