// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.Test;
import org.leiogauge.table.Estimate;

/** Published worked examples. */
class AgreementStatisticsTest {
    private static final Offset<Double> PRINTED = within(1e-8);

    // Data: Shrout and Fleiss 1979, six targets and four judges.
    private static final double[][] JUDGES = {
        {9, 2, 5, 8}, {6, 1, 3, 2}, {8, 4, 6, 8}, {7, 1, 2, 6}, {10, 5, 6, 9}, {6, 2, 4, 7}
    };
    // Data: Bland and Altman 1986, peak flow of 17 subjects by two meters, twice each.
    private static final double[] LARGE = {
        494, 395, 516, 434, 476, 557, 413, 442, 650, 433, 417, 656, 267, 478, 178, 423, 427
    };
    private static final double[] LARGE_AGAIN = {
        490, 397, 512, 401, 470, 611, 415, 431, 638, 429, 420, 633, 275, 492, 165, 372, 421
    };
    private static final double[] MINI = {
        512, 430, 520, 428, 500, 600, 364, 380, 658, 445, 432, 626, 260, 477, 259, 350, 451
    };
    private static final double[] MINI_AGAIN = {
        525, 415, 508, 444, 500, 625, 460, 390, 642, 432, 420, 605, 227, 467, 268, 370, 443
    };

    // Oracle: R package psych 2.2.9 on the data; the paper prints 0.17, 0.29, 0.71, 0.44, 0.62, 0.91.
    @Test
    void intraclassCorrelationsMatchShroutAndFleiss() {
        IntraclassCorrelation icc = IntraclassCorrelation.of(JUDGES);
        expect(icc.oneWaySingle(), 0.1657417684, -0.13293232487, 0.7225600623);
        expect(icc.agreementSingle(), 0.2897637795, 0.01878651337, 0.7610843696);
        expect(icc.consistencySingle(), 0.7148407148, 0.34246476503, 0.94585826);
        expect(icc.oneWayMean(), 0.4427971337, -0.88444215524, 0.9124154203);
        expect(icc.agreementMean(), 0.6200505476, 0.0711368153, 0.9272320402);
        expect(icc.consistencyMean(), 0.9093155424, 0.67567471382, 0.9858916782);
    }

    // Oracle: R package psych 2.2.9, its table of variances.
    @Test
    void meanSquaresMatchShroutAndFleiss() {
        IntraclassCorrelation.MeanSquares squares = IntraclassCorrelation.MeanSquares.of(JUDGES);
        assertThat(squares.between()).isCloseTo(11.24167, within(1e-5));
        assertThat(squares.raterSquare()).isCloseTo(32.48611, within(1e-5));
        assertThat(squares.residual()).isCloseTo(1.019444, within(1e-6));
    }

    // Oracle: R package psych 2.2.9.
    @Test
    void intraclassCorrelationsOfTwoMeters() {
        IntraclassCorrelation icc = IntraclassCorrelation.of(pairs(LARGE, MINI));
        expect(icc.oneWaySingle(), 0.9460147251, 0.8607901713, 0.9799392155);
        expect(icc.agreementSingle(), 0.9459284056, 0.8574111712, 0.9800786591);
        expect(icc.consistencySingle(), 0.9429130724, 0.8499083917, 0.9789431344);
    }

    @Test
    void correlationOfValuesThatAreAllAlikeIsNotMeasured() {
        double[][] flat = {{3, 3}, {3, 3}, {3, 3}};
        assertThat(IntraclassCorrelation.of(flat).agreementSingle().value().reason())
                .isEqualTo("all values are alike");
    }

    // Oracle: the definition: subjects that do not differ have no correlation, or a negative one.
    @Test
    void subjectsThatAreAlikeButForRoundingHaveNoInterval() {
        java.util.SplittableRandom random = new java.util.SplittableRandom(5);
        for (int draw = 0; draw < 200; draw++) {
            double a = random.nextDouble(1, 300);
            double b = random.nextDouble(1, 300);
            double[][] ratings = new double[3 + draw % 4][];
            for (int i = 0; i < ratings.length; i++)
                ratings[i] = new double[] {a * (1 + 1e-15 * random.nextInt(3)), b * (1 + 1e-15 * random.nextInt(3))};
            Estimate icc = IntraclassCorrelation.of(ratings).agreementSingle();
            assertThat(icc.value().number().orElse(0)).isLessThan(1e-6);
        }
    }

    @Test
    void incompleteRatingsAreRefused() {
        assertThatThrownBy(() -> IntraclassCorrelation.of(new double[][] {{1, 2}, {3}}))
                .hasMessage("ratings must be complete, row 1 has 1 of 2");
    }

    // Oracle: base R 4.2.2 on the data; the paper prints -2.1 and 38.8.
    @Test
    void limitsOfAgreementMatchBlandAndAltman() {
        BlandAltman agreement = BlandAltman.of(LARGE, MINI);
        assertThat(agreement.deviation()).isCloseTo(38.76512987, within(1e-7));
        expect(agreement.bias(), -2.117647059, -22.0488377, 17.81354358, within(1e-6));
        expect(agreement.lower(), -78.09730161, -112.6191365, -43.57546677, within(1e-5));
        expect(agreement.upper(), 73.86200749, 39.34017265, 108.3838423, within(1e-5));
    }

    // Oracle: R package epiR 2.0.57.
    @Test
    void concordanceMatchesLin() {
        expect(Concordance.of(LARGE, MINI), 0.9427424314, 0.8504918732, 0.9787262792);
    }

    // Oracle: base R 4.2.2 on the data.
    @Test
    void repeatabilityOfBothMeters() {
        Repeatability large = Repeatability.of(pairs(LARGE, LARGE_AGAIN));
        assertThat(large.withinSubject()).isCloseTo(15.30666906, within(1e-7));
        assertThat(large.coefficient()).isCloseTo(42.42792199, within(1e-7));
        assertThat(large.variationPercent().number().orElseThrow()).isCloseTo(3.499558697, within(1e-8));
        Repeatability mini = Repeatability.of(pairs(MINI, MINI_AGAIN));
        assertThat(mini.withinSubject()).isCloseTo(19.91083063, within(1e-7));
        assertThat(mini.coefficient()).isCloseTo(55.19000677, within(1e-7));
        assertThat(mini.variationPercent().number().orElseThrow()).isCloseTo(5.065634443, within(1e-8));
    }

    // Oracle: R package vcd: kappa 0.7, asymptotic standard error 0.071056315694.
    @Test
    void kappaOfTwoTerms() {
        expect(Kappa.of(new int[][] {{40, 10}, {5, 45}}, Kappa.Weights.NONE), 0.7, 0.560732180366, 0.839267819634);
    }

    // Oracle: R package vcd on data of Landis and Koch 1977: kappas and asymptotic standard errors.
    @Test
    void weightedKappasMatchLandisAndKoch() {
        int[][] winnipeg = {{38, 5, 0, 1}, {33, 11, 3, 0}, {10, 14, 5, 6}, {3, 7, 3, 10}};
        withError(Kappa.of(winnipeg, Kappa.Weights.NONE), 0.2079425, 0.05045537);
        withError(Kappa.of(winnipeg, Kappa.Weights.LINEAR), 0.3797305, 0.05166683);
        withError(Kappa.of(winnipeg, Kappa.Weights.QUADRATIC), 0.5245765, 0.06005510);
        int[][] newOrleans = {{5, 3, 0, 0}, {3, 11, 4, 0}, {2, 13, 3, 4}, {1, 2, 4, 14}};
        withError(Kappa.of(newOrleans, Kappa.Weights.NONE), 0.2965166, 0.07850387);
        withError(Kappa.of(newOrleans, Kappa.Weights.LINEAR), 0.4772727, 0.07303099);
        withError(Kappa.of(newOrleans, Kappa.Weights.QUADRATIC), 0.6255814, 0.07873187);
    }

    // Oracle: Cohen 1968 prints 0.492 and 0.348; R package psych.
    @Test
    void kappaWithWeightsOfOnesOwnMatchesCohen() {
        int[][] table = {{88, 14, 18}, {10, 40, 10}, {2, 6, 12}};
        double[][] disagreement = {{0, 1, 3}, {1, 0, 6}, {3, 6, 0}};
        assertThat(number(Kappa.of(table, Kappa.Weights.NONE))).isCloseTo(0.4915254237, PRINTED);
        assertThat(number(Kappa.of(table, (i, j, k) -> 1 - disagreement[i][j] / 6)))
                .isCloseTo(0.347826087, PRINTED);
        assertThat(number(Kappa.of(table, Kappa.Weights.QUADRATIC))).isCloseTo(0.4545454545, PRINTED);
    }

    @Test
    void kappaWithoutSpreadIsNotMeasured() {
        assertThat(Kappa.of(new int[][] {{9, 0}, {0, 0}}, Kappa.Weights.NONE)
                        .value()
                        .reason())
                .isEqualTo("both readers use one and the same term throughout");
    }

    // Oracle: by hand. Where one reader's term does not vary, observed and chance agreement are both Σ_j w_1j p_.j.
    @Test
    void kappaAgainstAReaderWhoseTermDoesNotVaryIsZeroWithoutInterval() {
        int[][] table = new int[5][5];
        table[1][1] = 5;
        table[1][2] = 1;
        for (Kappa.Weights weights : List.of(Kappa.Weights.NONE, Kappa.Weights.LINEAR, Kappa.Weights.QUADRATIC)) {
            Estimate estimate = Kappa.of(table, weights);
            assertThat(number(estimate)).isZero();
            assertThat(estimate.interval()).isEmpty();
            assertThat(estimate.note()).startsWith("no interval: the first reader uses one term throughout");
        }
        assertThat(Kappa.of(new int[][] {{3, 0}, {2, 0}}, Kappa.Weights.NONE).note())
                .startsWith("no interval: the second reader");
        assertThat(Kappa.of(new int[][] {{0, 4}, {0, 0}}, Kappa.Weights.NONE)
                        .value()
                        .reason())
                .isEqualTo("each reader uses one term throughout, and not the same");
    }

    // Oracle: by hand. With all cases on the diagonal κ is 1, and the sum of squares is that of its mean.
    @Test
    void kappaOfFullAgreementHasNoInterval() {
        Estimate estimate = Kappa.of(new int[][] {{3, 0, 0}, {0, 2, 0}, {0, 0, 7}}, Kappa.Weights.LINEAR);
        assertThat(number(estimate)).isEqualTo(1);
        assertThat(estimate.interval()).isEmpty();
        assertThat(estimate.note()).startsWith("no interval: the asymptotic variance is 0");
    }

    // Oracle: by hand: the fewest cases that the other statistics of agreement take, less one.
    @Test
    void kappaOfTwoCasesIsNotMeasured() {
        String reason = "read by all for 2 lesions, 3 needed";
        assertThat(Kappa.of(new int[][] {{1, 1}, {0, 0}}, Kappa.Weights.NONE)
                        .value()
                        .reason())
                .isEqualTo(reason);
        assertThat(FleissKappa.of(new int[][] {{2, 1}, {3, 0}}).value().reason())
                .isEqualTo(reason);
    }

    // Oracle: Python statsmodels 0.13.5 on the example that its tests reprint: kappa and standard error under chance.
    @Test
    void kappaOfManyReaders() {
        int[][] counts = {
            {0, 0, 0, 0, 14}, {0, 2, 6, 4, 2}, {0, 0, 3, 5, 6}, {0, 3, 9, 2, 0}, {2, 2, 8, 1, 1},
            {7, 7, 0, 0, 0}, {3, 2, 6, 3, 0}, {2, 5, 3, 2, 2}, {6, 5, 2, 1, 0}, {0, 2, 2, 3, 7}
        };
        withError(FleissKappa.of(counts), 0.20993070442, 0.016965069224);
        assertThatThrownBy(() -> FleissKappa.of(new int[][] {{2, 1}, {1, 1}}))
                .hasMessage("counts must be of 3 readers in each case, got 2");
    }

    // Oracle: base R 4.2.2, p.adjust; data of Benjamini and Hochberg 1995.
    @Test
    void adjustedPValuesMatchBenjaminiAndHochberg() {
        double[] p = {
            0.0001, 0.0004, 0.0019, 0.0095, 0.0201, 0.0278, 0.0298, 0.0344, 0.0459, 0.3240, 0.4262, 0.5719, 0.6528,
            0.7590, 1.0000
        };
        assertThat(Multiplicity.falseDiscovery(p))
                .containsExactly(
                        new double[] {
                            0.0015,
                            0.003,
                            0.0095,
                            0.035625,
                            0.0603,
                            0.06385714286,
                            0.06385714286,
                            0.0645,
                            0.0765,
                            0.486,
                            0.58118181818,
                            0.714875,
                            0.75323076923,
                            0.81321428571,
                            1
                        },
                        within(1e-9));
        // Oracle: Benjamini and Hochberg 1995: four findings at 0.05, Holm 1979 three.
        assertThat(Arrays.stream(Multiplicity.falseDiscovery(p)).filter(q -> q <= 0.05))
                .hasSize(4);
        assertThat(Arrays.stream(Multiplicity.familyWise(p)).filter(q -> q <= 0.05))
                .hasSize(3);
        assertThat(Arrays.copyOf(Multiplicity.familyWise(p), 9))
                .containsExactly(
                        new double[] {0.0015, 0.0056, 0.0247, 0.114, 0.2211, 0.278, 0.278, 0.278, 0.3213},
                        within(1e-9));
    }

    private static double[][] pairs(double[] a, double[] b) {
        double[][] pairs = new double[a.length][];
        for (int i = 0; i < a.length; i++) pairs[i] = new double[] {a[i], b[i]};
        return pairs;
    }

    private static double number(Estimate estimate) {
        return estimate.value().number().orElseThrow();
    }

    private static void withError(Estimate estimate, double value, double error) {
        double half = 1.959963984540054 * error;
        expect(estimate, value, value - half, value + half, within(5e-7));
    }

    private static void expect(Estimate estimate, double value, double low, double high) {
        expect(estimate, value, low, high, PRINTED);
    }

    private static void expect(Estimate estimate, double value, double low, double high, Offset<Double> tolerance) {
        assertThat(number(estimate)).isCloseTo(value, tolerance);
        assertThat(estimate.interval().orElseThrow().low()).isCloseTo(low, tolerance);
        assertThat(estimate.interval().orElseThrow().high()).isCloseTo(high, tolerance);
    }
}
