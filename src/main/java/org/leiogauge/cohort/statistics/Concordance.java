// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import org.apache.commons.math3.stat.StatUtils;
import org.apache.commons.math3.stat.correlation.Covariance;
import org.leiogauge.table.Estimate;

/**
 * Lin's concordance correlation of two measurements of the same subjects: how near the pairs lie to the line of identity.
 *
 * <p>ρ_c = 2 s_ab / (s_a² + s_b² + (ā − b̄)²) with moments over n; no unit, −1 to 1. Interval by the inverse hyperbolic
 * tangent with the asymptotic variance. Undefined if neither varies.
 *
 * <p>Source: Lin 1989, A concordance correlation coefficient, doi:10.2307/2532051; variance as corrected in Lin 2000,
 * Biometrics 56:324.
 */
public final class Concordance {
    private Concordance() {}

    public static Estimate of(double[] a, double[] b) {
        int n = BlandAltman.differences(a, b).length;
        double share = (n - 1.0) / n;
        double va = StatUtils.variance(a) * share;
        double vb = StatUtils.variance(b) * share;
        double cov = new Covariance().covariance(a, b) * share;
        double shift = StatUtils.mean(a) - StatUtils.mean(b);
        double c = 2 * cov / (va + vb + shift * shift);
        double r = cov / Math.sqrt(va * vb);
        if (n < 3 || !(Math.abs(c) < 1) || !(r != 0)) return Estimate.of(c, Double.NaN, Double.NaN, "no value varies");
        double u2 = shift * shift / Math.sqrt(va * vb);
        double c2 = c * c;
        double r2 = r * r;
        double variance = ((1 - r2) * c2 / ((1 - c2) * r2)
                        + 2 * c2 * c * (1 - c) * u2 / (r * square(1 - c2))
                        - c2 * c2 * u2 * u2 / (2 * r2 * square(1 - c2)))
                / (n - 2);
        double z = 0.5 * Math.log((1 + c) / (1 - c));
        double half = Estimate.Z * Math.sqrt(variance);
        return Estimate.of(c, Math.tanh(z - half), Math.tanh(z + half), "no value varies");
    }

    private static double square(double x) {
        return x * x;
    }
}
