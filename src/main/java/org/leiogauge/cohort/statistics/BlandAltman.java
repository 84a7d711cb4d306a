// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import org.apache.commons.math3.distribution.TDistribution;
import org.apache.commons.math3.stat.StatUtils;
import org.leiogauge.table.Estimate;

/**
 * Agreement of two measurements of the same subjects: bias and the limits between which 95 % of the differences lie.
 *
 * <p>d = a − b; bias: mean of d; limits: bias ± 1.96 s, s the standard deviation of d. Standard errors: s/√n of the bias,
 * s √(3/n) of a limit; intervals by Student's t with n − 1 degrees of freedom. In the measurements' unit.
 *
 * <p>Source: Bland and Altman 1986, Statistical methods for assessing agreement, doi:10.1016/S0140-6736(86)90837-8.
 *
 * @param deviation standard deviation of the differences
 */
public record BlandAltman(Estimate bias, double deviation, Estimate lower, Estimate upper) {
    private static final double LIMIT = 1.96;

    /** @param a and {@code b}: one value per subject, 2 or more */
    public static BlandAltman of(double[] a, double[] b) {
        double[] d = differences(a, b);
        double mean = StatUtils.mean(d);
        double s = Math.sqrt(StatUtils.variance(d));
        double t = new TDistribution(d.length - 1).inverseCumulativeProbability(0.975);
        double ofBias = t * s / Math.sqrt(d.length);
        double ofLimit = t * s * Math.sqrt(3.0 / d.length);
        return new BlandAltman(
                around(mean, ofBias), s, around(mean - LIMIT * s, ofLimit), around(mean + LIMIT * s, ofLimit));
    }

    static double[] differences(double[] a, double[] b) {
        if (a.length != b.length || a.length < 2)
            throw new IllegalArgumentException(
                    "a and b must have the same 2 or more subjects, got " + a.length + " and " + b.length);
        double[] d = new double[a.length];
        for (int i = 0; i < d.length; i++) d[i] = a[i] - b[i];
        return d;
    }

    private static Estimate around(double value, double half) {
        return Estimate.of(value, value - half, value + half, "no differences");
    }
}
