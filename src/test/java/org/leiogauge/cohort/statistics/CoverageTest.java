// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.SplittableRandom;
import java.util.function.Function;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.junit.jupiter.api.Test;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.Gaussian;

/**
 * Intervals hold the truth as often as they say: simulated readings whose true value is known in closed form.
 *
 * <p>Tolerance: three standard errors of a share of 0.95 in so many draws, which is 2.1 percentage points; where the interval
 * is an approximation for many cases, as its source says, another 1.5.
 */
class CoverageTest {
    private static final int DRAWS = 1000;
    private static final double MONTE_CARLO = 3 * Math.sqrt(0.95 * 0.05 / DRAWS);
    private static final double APPROXIMATE = 0.015;

    // Oracle: lesion, reader and error are independent normals of variances 1, 0.09 and 0.36.
    @Test
    void intraclassCorrelations() {
        double error = 0.6;
        double reader = 0.3;
        expect(1 / 1.36, MONTE_CARLO, r -> IntraclassCorrelation.of(readings(r, 30, 3, 0, error))
                .oneWaySingle());
        expect(1 / 1.36, MONTE_CARLO, r -> IntraclassCorrelation.of(readings(r, 30, 3, reader, error))
                .consistencySingle());
        expect(3 / 3.36, MONTE_CARLO, r -> IntraclassCorrelation.of(readings(r, 30, 3, reader, error))
                .consistencyMean());
        expect(1 / 1.12, MONTE_CARLO, r -> IntraclassCorrelation.of(readings(r, 30, 3, 0, error))
                .oneWayMean());
        expect(1 / 1.45, MONTE_CARLO + APPROXIMATE, r -> IntraclassCorrelation.of(readings(r, 30, 6, reader, error))
                .agreementSingle());
        expect(1 / 1.075, MONTE_CARLO + APPROXIMATE, r -> IntraclassCorrelation.of(readings(r, 30, 6, reader, error))
                .agreementMean());
    }

    // Oracle: differences are normal with mean −0.2 and variance 0.72.
    @Test
    void limitsOfAgreement() {
        double deviation = Math.sqrt(0.72);
        double upper = -0.2 + Estimate.Z * deviation;
        expect(-0.2, MONTE_CARLO, r -> blandAltman(r).bias());
        expect(upper, MONTE_CARLO + APPROXIMATE, r -> blandAltman(r).upper());
        expect(-0.4 - upper, MONTE_CARLO + APPROXIMATE, r -> blandAltman(r).lower());
    }

    private static BlandAltman blandAltman(SplittableRandom random) {
        double[][] pairs = shifted(random, 60);
        return BlandAltman.of(pairs[0], pairs[1]);
    }

    // Oracle: ρ_c = 2 σ_12 / (σ_1² + σ_2² + (μ_1 − μ_2)²), with 1, 1.36, 1.36 and 0.2.
    @Test
    void concordance() {
        expect(2 / (2 * 1.36 + 0.04), MONTE_CARLO + APPROXIMATE, r -> {
            double[][] pairs = shifted(r, 60);
            return Concordance.of(pairs[0], pairs[1]);
        });
    }

    private static double[][] shifted(SplittableRandom random, int lesions) {
        double[][] readings = readings(random, lesions, 2, 0, 0.6);
        double[][] pairs = new double[2][lesions];
        for (int i = 0; i < lesions; i++) {
            pairs[0][i] = readings[i][0];
            pairs[1][i] = readings[i][1] + 0.2;
        }
        return pairs;
    }

    // Oracle: two normals a distance of 1.4 apart: AUC = Φ(1.4/√2).
    @Test
    void areaUnderTheCurve() {
        double auc = new NormalDistribution().cumulativeProbability(1.4 / Math.sqrt(2));
        expect(auc, MONTE_CARLO + APPROXIMATE, r -> {
            double[] scores = new double[120];
            boolean[] positive = new boolean[120];
            for (int i = 0; i < scores.length; i++) {
                positive[i] = i % 3 == 0;
                scores[i] = Gaussian.next(r) + (positive[i] ? 1.4 : 0);
            }
            return Roc.of(scores, positive).estimate();
        });
    }

    // Oracle: two scores that know as much of the outcome, each with noise of its own: no difference is the truth, and
    // a
    // test at 0.05 finds one in 5 % of draws.
    @Test
    void comparisonsOfEqualScoresFindNothingAsOftenAsTheySay() {
        SplittableRandom random = new SplittableRandom(21);
        int paired = 0;
        int alone = 0;
        for (int draw = 0; draw < DRAWS; draw++) {
            double[][] scores = new double[3][120];
            boolean[] positive = new boolean[120];
            for (int i = 0; i < positive.length; i++) {
                positive[i] = i % 3 == 0;
                double shared = Gaussian.next(random) + (positive[i] ? 1.4 : 0);
                scores[0][i] = shared + 0.7 * Gaussian.next(random);
                scores[1][i] = shared + 0.7 * Gaussian.next(random);
                scores[2][i] = Gaussian.next(random);
            }
            if (Roc.of(scores[0], positive).against(Roc.of(scores[1], positive)).p() < 0.05) paired++;
            if (Roc.of(scores[2], positive).rankSumP() < 0.05) alone++;
        }
        expectShare(1 - paired / (double) DRAWS, MONTE_CARLO + APPROXIMATE);
        expectShare(1 - alone / (double) DRAWS, MONTE_CARLO + APPROXIMATE);
    }

    // Oracle: both readers give the true one of three even terms with chance 0.6 and else one at random: of each pair
    // of
    // terms the joint chance is 0.36 of full agreement and 0.64 of none but by chance, so κ = 0.36 whatever the
    // weights.
    @Test
    void kappa() {
        for (Kappa.Weights weights : List.of(Kappa.Weights.NONE, Kappa.Weights.LINEAR, Kappa.Weights.QUADRATIC))
            expect(0.36, MONTE_CARLO + APPROXIMATE, r -> {
                int[][] table = new int[3][3];
                for (int i = 0; i < 150; i++) {
                    int truth = r.nextInt(3);
                    table[read(r, truth)][read(r, truth)]++;
                }
                return Kappa.of(table, weights);
            });
    }

    // Oracle: four readers who choose among three uneven terms at random: κ = 0, where the published error holds.
    @Test
    void kappaOfManyReadersByChance() {
        expect(0, MONTE_CARLO + APPROXIMATE, r -> {
            int[][] counts = new int[100][3];
            for (int[] one : counts) for (int reader = 0; reader < 4; reader++) one[Math.min(2, r.nextInt(5))]++;
            return FleissKappa.of(counts);
        });
    }

    private static int read(SplittableRandom random, int truth) {
        return random.nextDouble() < 0.6 ? truth : random.nextInt(3);
    }

    private static double[][] readings(SplittableRandom random, int lesions, int readers, double reader, double error) {
        double[] shift = new double[readers];
        for (int j = 0; j < readers; j++) shift[j] = reader * Gaussian.next(random);
        double[][] readings = new double[lesions][readers];
        for (double[] lesion : readings) {
            double truth = Gaussian.next(random);
            for (int j = 0; j < readers; j++) lesion[j] = truth + shift[j] + error * Gaussian.next(random);
        }
        return readings;
    }

    private static void expect(double truth, double tolerance, Function<SplittableRandom, Estimate> draw) {
        SplittableRandom random = new SplittableRandom(20);
        int inside = 0;
        for (int i = 0; i < DRAWS; i++) {
            var interval = draw.apply(random).interval().orElseThrow();
            if (interval.low() <= truth && truth <= interval.high()) inside++;
        }
        expectShare(inside / (double) DRAWS, tolerance);
    }

    private static void expectShare(double share, double tolerance) {
        assertThat(share).isBetween(0.95 - tolerance, 0.95 + tolerance);
    }
}
