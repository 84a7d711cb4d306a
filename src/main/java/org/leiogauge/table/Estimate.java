// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.util.Optional;
import org.apache.commons.math3.distribution.NormalDistribution;

/** A statistic with its 95 % interval; without one where the data do not tell. */
public record Estimate(Measurement value, Optional<Interval> interval) {
    /** The 97.5th percentile of the standard normal distribution. */
    public static final double Z = new NormalDistribution().inverseCumulativeProbability(0.975);

    /** @param reason why the value is undefined, if it is no number */
    public static Estimate of(double value, double low, double high, String reason) {
        Measurement measured = Measurement.of(value, reason);
        boolean known = measured.number().isPresent() && low <= high;
        return new Estimate(measured, known ? Optional.of(new Interval(low, high)) : Optional.empty());
    }

    public static Estimate undefined(String reason) {
        return new Estimate(new Measurement.NotMeasured(reason), Optional.empty());
    }

    /** value ± Z · standard error. */
    public static Estimate normal(double value, double standardError, String reason) {
        return of(value, value - Z * standardError, value + Z * standardError, reason);
    }
}
