// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;

class CountsTest {
    @Test
    void wilsonLimitsMatchTheWorkedExamples() {
        // Oracle: Newcombe 1998 worked examples, r-cran-hmisc 4.8 and closed form; 1e-8 as printed.
        limits(new Proportion(81, 263).wilson(), 0.2552885199, 0.366209577);
        limits(new Proportion(15, 148).wilson(), 0.06238639953, 0.1604872417);
        limits(new Proportion(0, 20).wilson(), 0, 0.1611251581);
        limits(new Proportion(1, 29).wilson(), 0.0061132143, 0.1717552188);
        limits(new Proportion(19, 19).wilson(), 0.8318207759, 1);
        limits(new Proportion(22, 22).wilson(), 0.8513451254, 1);
        // Oracle: closed form; hmisc shifts a limit for one hit and for all but one.
        limits(new Proportion(18, 19).wilson(), 0.7536126883, 0.9906480059);
        limits(new Proportion(21, 22).wilson(), 0.7820195416, 0.9919305724);
        limits(new Proportion(12, 16).wilson(), 0.5050168346, 0.8981793251);
        limits(new Proportion(23, 24).wilson(), 0.7975819352, 0.9926065438);
        limits(new Proportion(128, 139).wilson(), 0.8638512062, 0.9552387202);
        limits(new Proportion(102, 141).wilson(), 0.6443910604, 0.7905672762);
        limits(new Proportion(23, 27).wilson(), 0.6752131457, 0.9408407222);
        limits(new Proportion(261, 286).wilson(), 0.8741468925, 0.9400913499);
        limits(new Proportion(11, 14).wilson(), 0.5241076941, 0.9242861329);
        limits(new Proportion(1103, 1118).wilson(), 0.9779814296, 0.9918525799);
    }

    @Test
    void clopperPearsonLimitsMatchAnotherLibrary() {
        // Oracle: r-cran-hmisc 4.8; 19 of 19 and 21 of 22 are also printed by Lakhman 2017.
        limits(new Proportion(81, 263).clopperPearson(), 0.2527367456, 0.3676219226);
        limits(new Proportion(0, 20).clopperPearson(), 0, 0.168433471);
        limits(new Proportion(19, 19).clopperPearson(), 0.8235330882, 1);
        limits(new Proportion(21, 22).clopperPearson(), 0.7715556023, 0.9988498525);
        limits(new Proportion(15, 148).clopperPearson(), 0.05784401008, 0.1616504903);
        limits(new Proportion(1, 29).clopperPearson(), 0.0008726468836, 0.1776442955);
        limits(new Proportion(18, 19).clopperPearson(), 0.7397193458, 0.9986683712);
        limits(new Proportion(22, 22).clopperPearson(), 0.8456274872, 1);
    }

    @Test
    void likelihoodRatiosMatchThePublishedOnes() {
        // Oracle: five-grade system I-V, published LR+ 9.745 and LR- 0.162; limits SciPy 1.10.1,
        // scipy.stats.contingency.relative_risk(23, 27, 25, 286) and (4, 27, 261, 286), 1e-9 as printed.
        Counts counts = new Counts(23, 4, 25, 261);
        ratio(counts.positiveLikelihoodRatio(), 9.745185185, 6.492241726, 14.628018841);
        ratio(counts.negativeLikelihoodRatio(), 0.162338584, 0.065660060, 0.401367527);
        // Oracle: the same function, consensus flow chart 2022, reader 1.
        ratio(new Counts(12, 4, 1, 23).positiveLikelihoodRatio(), 18, 2.588119427, 125.187422429);
        ratio(new Counts(12, 4, 1, 23).negativeLikelihoodRatio(), 0.260869565, 0.111190077, 0.612041399);
    }

    // Oracle: sensitivity, specificity, LR+ and LR- as published or recomputed to six digits from published counts.
    @Test
    void twoByTwoTablesMatchTheirPublishedAccuracy() {
        table(new Counts(13, 3, 2, 22), 0.812500, 0.916667, 9.750000, 0.204545);
        table(new Counts(7, 1, 1, 24), 0.875000, 0.960000, 21.875000, 0.130208);
        table(new Counts(7, 1, 3, 22), 0.875000, 0.880000, 7.291667, 0.142045);
        table(new Counts(11, 3, 15, 1103), 0.785714, 0.986583, 58.561905, 0.217200);
        table(new Counts(108, 31, 10, 131), 0.776978, 0.929078, 10.955396, 0.240046);
        table(new Counts(128, 11, 39, 102), 0.920863, 0.723404, 3.329275, 0.109395);
        table(new Counts(114, 25, 20, 121), 0.820144, 0.858156, 5.782014, 0.209584);
        table(new Counts(12, 3, 1, 47), 0.800000, 0.979167, 38.400000, 0.204255);
        table(new Counts(10, 0, 5, 78), 1.000000, 0.939759, 16.600000, 0.000000);
        table(new Counts(23, 4, 25, 261), 0.851852, 0.912587, 9.745185, 0.162339);
        table(new Counts(19, 0, 1, 21), 1.000000, 0.954545, 22.000000, 0.000000);
        table(new Counts(12, 4, 1, 23), 0.750000, 0.958333, 18.000000, 0.260870);
        table(new Counts(8, 0, 16, 9), 1.000000, 0.360000, 1.562500, 0.000000);
        table(new Counts(21, 0, 4, 80), 1.000000, 0.952381, 21.000000, 0.000000);
        // nobody without the disease was positive: the ratio has no upper bound
        Counts second = new Counts(18, 1, 0, 22);
        assertThat(second.sensitivity().value()).isCloseTo(0.947368, within(1e-6));
        assertThat(second.specificity().value()).isEqualTo(1);
        assertThat(second.positiveLikelihoodRatio().value().number()).isEmpty();
        assertThat(value(second.negativeLikelihoodRatio().value())).isCloseTo(0.052632, within(1e-6));
    }

    // Oracle: the predictive values of the same tables, as published or recomputed to six digits; they are the
    // probabilities after the test where the disease is as common as in the study itself.
    @Test
    void atTheStudysOwnPrevalenceBayesGivesItsPredictiveValues() {
        predictive(new Counts(23, 4, 25, 261), 0.479167, 0.984906);
        predictive(new Counts(12, 4, 1, 23), 0.923077, 0.851852);
        predictive(new Counts(13, 3, 2, 22), 0.866667, 0.880000);
        predictive(new Counts(7, 1, 1, 24), 0.875000, 0.960000);
        predictive(new Counts(7, 1, 3, 22), 0.700000, 0.956522);
        predictive(new Counts(11, 3, 15, 1103), 0.423077, 0.997288);
        predictive(new Counts(108, 31, 10, 131), 0.915254, 0.808642);
        predictive(new Counts(128, 11, 39, 102), 0.766467, 0.902655);
        predictive(new Counts(114, 25, 20, 121), 0.850746, 0.828767);
        predictive(new Counts(12, 3, 1, 47), 0.923077, 0.940000);
    }

    private static void predictive(Counts counts, double positive, double negative) {
        double prevalence = (double) counts.diseased() / (counts.diseased() + counts.healthy());
        assertThat(value(counts.postTest(true, prevalence))).isCloseTo(positive, within(1e-6));
        assertThat(1 - value(counts.postTest(false, prevalence))).isCloseTo(negative, within(1e-6));
    }

    private static void table(Counts counts, double sensitivity, double specificity, double plus, double minus) {
        assertThat(counts.sensitivity().value()).isCloseTo(sensitivity, within(1e-6));
        assertThat(counts.specificity().value()).isCloseTo(specificity, within(1e-6));
        assertThat(value(counts.positiveLikelihoodRatio().value())).isCloseTo(plus, within(1e-6));
        assertThat(value(counts.negativeLikelihoodRatio().value())).isCloseTo(minus, within(1e-6));
    }

    @Test
    void anEmptyCellGivesNoRatioOrProbabilityThatNobodyCouldShow() {
        Counts perfect = new Counts(8, 0, 0, 95);
        assertThat(perfect.positiveLikelihoodRatio().value().reason()).contains("no upper bound");
        assertThat(perfect.negativeLikelihoodRatio()).isEqualTo(new Estimate(new Measured(0), Optional.empty()));
        assertThat(perfect.postTest(true, 0.01).reason()).isEqualTo("none of 95 without the disease had this result");
        assertThat(perfect.postTest(false, 0.01).reason()).isEqualTo("none of 8 with the disease had this result");
        assertThat(new Counts(0, 3, 0, 4).postTest(true, 0.01).reason()).isEqualTo("nobody had this result");
        assertThat(new Counts(3, 1, 4, 0).negativeLikelihoodRatio().value().reason())
                .contains("nobody without");
    }

    @Test
    void postTestProbabilityMatchesBayesByHand() {
        // Oracle: Bayes, closed form, at sensitivity 0.9, specificity 0.96 and these prevalences.
        Counts counts = new Counts(90, 10, 4, 96);
        assertThat(value(counts.postTest(true, 1 / 498.0))).isCloseTo(0.04331088, within(1e-7));
        assertThat(value(counts.postTest(false, 1 / 498.0))).isCloseTo(0.00020955, within(1e-7));
        assertThat(value(counts.postTest(true, 1 / 1100.0))).isCloseTo(0.02006242, within(1e-7));
        assertThat(value(counts.postTest(false, 1 / 1100.0))).isCloseTo(0.00009477, within(1e-7));
        assertThat(value(counts.postTest(true, 1 / 352.0))).isCloseTo(0.06024096, within(1e-7));
        assertThat(value(counts.postTest(false, 1 / 352.0))).isCloseTo(0.00029668, within(1e-7));
        assertThat(value(counts.postTest(true, 1 / 770.0))).isCloseTo(0.02842704, within(1e-7));
        assertThat(value(counts.postTest(false, 1 / 770.0))).isCloseTo(0.00013544, within(1e-7));
        assertThat(value(counts.postTest(true, 1 / 1960.0))).isCloseTo(0.01135503, within(1e-7));
        assertThat(value(counts.postTest(false, 1 / 1960.0))).isCloseTo(0.00005317, within(1e-7));
        assertThat(value(counts.postTest(true, 0.38))).isCloseTo(0.93238822, within(1e-7));
        assertThat(value(counts.postTest(false, 0.38))).isCloseTo(0.06001263, within(1e-7));
        // Oracle: the same with sensitivity 1 and specificity 0.67.
        assertThat(value(new Counts(1, 0, 33, 67).postTest(true, 1 / 498.0))).isCloseTo(0.00606024, within(1e-7));
        // Oracle: by hand, of 200 half are ill: 90 true among 94 positives, 10 ill among 106 negatives.
        assertThat(value(counts.postTest(true, 0.5))).isCloseTo(90 / 94.0, within(1e-12));
        assertThat(value(counts.postTest(false, 0.5))).isCloseTo(10 / 106.0, within(1e-12));
    }

    @Test
    void prevalenceOutsideZeroAndOneIsRefused() {
        for (double wrong : new double[] {0, 1, -0.1, 1.5, Double.NaN})
            assertThatThrownBy(() -> new Counts(1, 1, 1, 1).postTest(true, wrong))
                    .hasMessage("prevalence must lie between 0 and 1, both excluded, got " + wrong);
        assertThatThrownBy(() -> new Counts(0, 0, 1, 1)).hasMessageContaining("at least one with");
        assertThatThrownBy(() -> new Proportion(3, 2)).hasMessageContaining("got 3 of 2");
    }

    private static double value(Measurement measurement) {
        return measurement.number().orElseThrow();
    }

    private static void ratio(Estimate ratio, double value, double low, double high) {
        assertThat(value(ratio.value())).isCloseTo(value, within(1e-9));
        limits(ratio.interval().orElseThrow(), low, high);
    }

    private static void limits(Interval interval, double low, double high) {
        assertThat(interval.low()).isCloseTo(low, within(1e-8));
        assertThat(interval.high()).isCloseTo(high, within(1e-8));
    }
}
