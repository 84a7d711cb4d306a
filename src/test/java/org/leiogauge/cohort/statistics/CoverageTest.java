// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;

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
        expect(1 / 1.45, MONTE_CARLO + APPROXIMATE, r -> IntraclassCorrelation.of(readings(r, 30, 6, reader, error))
                .agreementSingle());
    }

    // Oracle: differences are normal with mean −0.2 and variance 0.72.
    @Test
    void limitsOfAgreement() {
        double deviation = Math.sqrt(0.72);
        double upper = -0.2 + Estimate.Z * deviation;
        expect(-0.2, MONTE_CARLO, r -> blandAltman(r).bias());
        expect(upper, MONTE_CARLO + APPROXIMATE, r -> blandAltman(r).upper());
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

    // Oracle: both readers give the true one of three even terms with chance 0.6 and else one at random: they agree
    // with
    // chance 0.36 + 0.64/3, by chance 1/3, so κ = 0.36.
    @Test
    void kappa() {
        expect(0.36, MONTE_CARLO + APPROXIMATE, r -> {
            int[][] table = new int[3][3];
            for (int i = 0; i < 150; i++) {
                int truth = r.nextInt(3);
                table[read(r, truth)][read(r, truth)]++;
            }
            return Kappa.of(table, Kappa.Weights.NONE);
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
        assertThat(inside / (double) DRAWS).isBetween(0.95 - tolerance, 0.95 + tolerance);
    }
}
