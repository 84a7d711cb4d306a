// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import org.apache.commons.math3.distribution.BetaDistribution;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.leiogauge.table.Interval;

/** A share: how many of how many; of at least one. */
public record Proportion(int hits, int of) {
    static final double Z = new NormalDistribution(null, 0, 1).inverseCumulativeProbability(0.975);

    public Proportion {
        if (of < 1 || hits < 0 || hits > of)
            throw new IllegalArgumentException("hits must be 0 to of, and of at least 1, got " + hits + " of " + of);
    }

    public double value() {
        return (double) hits / of;
    }

    /**
     * 95 % interval by the score method, without continuity correction.
     *
     * <p>Source: Wilson, J Am Stat Assoc 1927;22:209; Newcombe, Stat Med 1998;17:857, method 3.
     */
    public Interval wilson() {
        double p = value();
        double centre = p + Z * Z / (2 * of);
        double half = Z * Math.sqrt(p * (1 - p) / of + Z * Z / (4.0 * of * of));
        double scale = 1 + Z * Z / of;
        // at the ends the limit is exact, which rounding would miss
        return new Interval(hits == 0 ? 0 : (centre - half) / scale, hits == of ? 1 : (centre + half) / scale);
    }

    /**
     * 95 % interval from the binomial tails.
     *
     * <p>Source: Clopper and Pearson, Biometrika 1934;26:404.
     */
    public Interval clopperPearson() {
        return new Interval(
                hits == 0 ? 0 : beta(hits, of - hits + 1.0, 0.025),
                hits == of ? 1 : beta(hits + 1.0, of - hits, 0.975));
    }

    private static double beta(double a, double b, double p) {
        return new BetaDistribution(null, a, b).inverseCumulativeProbability(p);
    }
}
