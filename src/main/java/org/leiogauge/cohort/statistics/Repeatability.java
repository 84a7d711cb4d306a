// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import org.apache.commons.math3.stat.StatUtils;
import org.leiogauge.table.Measurement;

/**
 * How far measurements of one subject scatter.
 *
 * <p>Within-subject standard deviation s_w: root of the mean over subjects of the variance of their repeats. Repeatability
 * coefficient: 1.96 √2 s_w; two measurements of one subject differ by less in 95 % of cases. Both in the measurement's
 * unit. Within-subject coefficient of variation: root mean square over subjects of standard deviation over mean, in %;
 * undefined where a mean is not above 0.
 *
 * <p>Source: Bland and Altman 1996, Measurement error, doi:10.1136/bmj.312.7047.1654; root mean square form of the
 * coefficient of variation: common practice, no source.
 */
public record Repeatability(double withinSubject, double coefficient, Measurement variationPercent) {

    /** @param repeats one row of 2 or more repeats per subject */
    public static Repeatability of(double[][] repeats) {
        if (repeats.length == 0) throw new IllegalArgumentException("repeats must have a subject, got none");
        double variance = 0;
        double relative = 0;
        boolean positive = true;
        for (double[] subject : repeats) {
            if (subject.length < 2)
                throw new IllegalArgumentException("repeats must be 2 or more of each subject, got " + subject.length);
            double v = StatUtils.variance(subject);
            double mean = StatUtils.mean(subject);
            positive &= mean > 0;
            variance += v / repeats.length;
            relative += v / (mean * mean) / repeats.length;
        }
        double within = Math.sqrt(variance);
        return new Repeatability(
                within,
                1.96 * Math.sqrt(2) * within,
                Measurement.of(positive ? 100 * Math.sqrt(relative) : Double.NaN, "a mean is not above 0"));
    }
}
