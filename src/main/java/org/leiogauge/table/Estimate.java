// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.util.Optional;
import org.apache.commons.math3.distribution.NormalDistribution;

/**
 * A statistic with its 95 % interval; without one where the data do not tell.
 *
 * @param note why there is no value, or no interval; empty where nothing needs saying
 */
public record Estimate(Measurement value, Optional<Interval> interval, String note) {
    /** The 97.5th percentile of the standard normal distribution. */
    public static final double Z = new NormalDistribution().inverseCumulativeProbability(0.975);

    /** With the reason of a missing value for its note. */
    public Estimate(Measurement value, Optional<Interval> interval) {
        this(value, interval, value.reason());
    }

    /** @param reason why the value is undefined, if it is no number */
    public static Estimate of(double value, double low, double high, String reason) {
        Measurement measured = Measurement.of(value, reason);
        boolean known = measured.number().isPresent() && low <= high;
        return new Estimate(measured, known ? Optional.of(new Interval(low, high)) : Optional.empty());
    }

    /** A value that the data give no interval for. */
    public static Estimate alone(double value, String whyNoInterval) {
        return new Estimate(new Measurement.Measured(value), Optional.empty(), whyNoInterval);
    }

    public static Estimate undefined(String reason) {
        return new Estimate(new Measurement.NotMeasured(reason), Optional.empty());
    }

    /** value ± Z · standard error. */
    public static Estimate normal(double value, double standardError, String reason) {
        return of(value, value - Z * standardError, value + Z * standardError, reason);
    }
}
