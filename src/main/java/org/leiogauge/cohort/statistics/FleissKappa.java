// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import org.leiogauge.table.Estimate;

/**
 * Agreement of any number of readers on terms, beyond chance; each case read by as many.
 *
 * <p>P̄ = mean over cases of Σ_j n_ij (n_ij − 1)/(m (m − 1)), P̄_e = Σ p_j², κ = (P̄ − P̄_e)/(1 − P̄_e); m readers. Interval
 * from the standard error under chance alone, as published; it is too narrow or too wide far from 0. Undefined for
 * fewer than 3 cases and if all readers use one and the same term throughout.
 *
 * <p>Source: Fleiss 1971, doi:10.1037/h0031619; standard error: Fleiss, Nee and Landis 1979, doi:10.1037/0033-2909.86.5.974.
 */
public final class FleissKappa {
    private FleissKappa() {}

    /** @param counts one row per case: how many readers chose each term */
    public static Estimate of(int[][] counts) {
        int cases = counts.length;
        int terms = cases == 0 ? 0 : counts[0].length;
        int readers = 0;
        for (int j = 0; j < terms; j++) readers += counts[0][j];
        if (readers < 2) throw new IllegalArgumentException("counts must be of 2 or more readers, got " + readers);
        double agreement = 0;
        double[] share = new double[terms];
        for (int[] row : counts) {
            int sum = 0;
            for (int j = 0; j < terms; j++) {
                sum += row[j];
                share[j] += row[j] / (double) (cases * readers);
                agreement += row[j] * (row[j] - 1.0) / (readers * (readers - 1.0)) / cases;
            }
            if (sum != readers)
                throw new IllegalArgumentException(
                        "counts must be of " + readers + " readers in each case, got " + sum);
        }
        if (cases < Kappa.FEWEST) return Kappa.tooFew(cases);
        double chance = 0;
        double spread = 0;
        double skew = 0;
        for (double p : share) {
            chance += p * p;
            spread += p * (1 - p);
            skew += p * (1 - p) * (1 - 2 * p);
        }
        double kappa = (agreement - chance) / (1 - chance);
        double error = Math.sqrt(2 * (spread * spread - skew) / (cases * readers * (readers - 1.0))) / spread;
        return Estimate.normal(kappa, error, "all readers use one and the same term throughout");
    }
}
