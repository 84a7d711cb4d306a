// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Arrays;
import org.leiogauge.table.Estimate;

/**
 * Agreement of two readers on terms, beyond chance.
 *
 * <p>κ = (p_o − p_e)/(1 − p_e), p_o = Σ w_ij p_ij the weighted share of agreement, p_e = Σ w_ij p_i. p_.j that of chance;
 * w_ij is 1 for full agreement. No unit, at most 1. Undefined for fewer than 3 cases and if neither reader's term varies.
 * If one reader's does not, κ is 0 whatever the other says, and if all cases agree it is 1: the asymptotic variance is 0
 * then and tells nothing, so there is no interval.
 *
 * <p>Source: Cohen 1960, doi:10.1177/001316446002000104, and 1968, doi:10.1037/h0026256; standard error: Fleiss, Cohen and
 * Everitt 1969, doi:10.1037/h0028106.
 */
public final class Kappa {
    // As for the other statistics of agreement: two cases tell nothing about a third.
    static final int FEWEST = 3;
    // Rounding leaves about 1e-16 of a variance of 0; that of the least lively table of 1000 cases is above 1e-9.
    private static final double NO_VARIANCE = 1e-12;

    private Kappa() {}

    /** How much two terms agree, 0 to 1. */
    @FunctionalInterface
    public interface Weights {
        double agreement(int first, int second, int terms);

        Weights NONE = (i, j, k) -> i == j ? 1 : 0;
        Weights LINEAR = (i, j, k) -> k == 1 ? 1 : 1 - Math.abs(i - j) / (k - 1.0);
        Weights QUADRATIC = (i, j, k) -> k == 1 ? 1 : 1 - (i - j) * (i - j) / ((k - 1.0) * (k - 1.0));
    }

    /** @param table cases by the first reader's term (row) and the second's (column); the terms in their order */
    public static Estimate of(int[][] table, Weights weights) {
        int k = table.length;
        double n = 0;
        double[] row = new double[k];
        double[] column = new double[k];
        for (int i = 0; i < k; i++)
            for (int j = 0; j < k; j++) {
                n += table[i][j];
                row[i] += table[i][j];
                column[j] += table[i][j];
            }
        if (n < FEWEST) return tooFew((int) n);
        boolean firstVaries = varies(row);
        boolean secondVaries = varies(column);
        if (!firstVaries && !secondVaries)
            return Estimate.undefined(
                    Arrays.equals(row, column)
                            ? "both readers use one and the same term throughout"
                            : "each reader uses one term throughout, and not the same");
        if (!firstVaries || !secondVaries)
            return Estimate.alone(
                    0,
                    "no interval: the " + (firstVaries ? "second" : "first")
                            + " reader uses one term throughout, so that kappa is 0 whatever the other says");
        double observed = 0;
        double chance = 0;
        double[] ofRow = new double[k];
        double[] ofColumn = new double[k];
        for (int i = 0; i < k; i++)
            for (int j = 0; j < k; j++) {
                double w = weights.agreement(i, j, k);
                observed += w * table[i][j] / n;
                chance += w * row[i] * column[j] / (n * n);
                ofRow[i] += w * column[j] / n;
                ofColumn[j] += w * row[i] / n;
            }
        double kappa = (observed - chance) / (1 - chance);
        double sum = 0;
        for (int i = 0; i < k; i++)
            for (int j = 0; j < k; j++) {
                double off = weights.agreement(i, j, k) - (ofRow[i] + ofColumn[j]) * (1 - kappa);
                sum += table[i][j] / n * off * off;
            }
        double spread = sum - Math.pow(kappa - chance * (1 - kappa), 2);
        if (spread < NO_VARIANCE)
            return Estimate.alone(kappa, "no interval: the asymptotic variance is 0, as where all cases agree");
        return Estimate.normal(kappa, Math.sqrt(spread / n) / (1 - chance), "the weights tell no two terms apart");
    }

    static Estimate tooFew(int cases) {
        return Estimate.undefined("read by all for " + cases + " lesions, " + FEWEST + " needed");
    }

    private static boolean varies(double[] counts) {
        return Arrays.stream(counts).filter(count -> count > 0).count() > 1;
    }
}
