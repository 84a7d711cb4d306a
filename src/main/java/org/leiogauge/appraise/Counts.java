// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.Optional;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;

/** A 2×2 table: test positive or negative in those with and without the disease. */
public record Counts(int truePositive, int falseNegative, int falsePositive, int trueNegative) {
    public Counts {
        if (Math.min(Math.min(truePositive, falseNegative), Math.min(falsePositive, trueNegative)) < 0)
            throw new IllegalArgumentException("counts must not be negative");
        long diseased = (long) truePositive + falseNegative;
        long healthy = (long) falsePositive + trueNegative;
        if (diseased < 1 || healthy < 1)
            throw new IllegalArgumentException("counts need at least one with and one without the disease");
        if (Math.max(diseased, healthy) > Integer.MAX_VALUE)
            throw new IllegalArgumentException("counts must add up to less than " + Integer.MAX_VALUE);
    }

    /** How many have the disease. */
    public int diseased() {
        return truePositive + falseNegative;
    }

    /** How many do not have it. */
    public int healthy() {
        return falsePositive + trueNegative;
    }

    public Proportion sensitivity() {
        return new Proportion(truePositive, diseased());
    }

    public Proportion specificity() {
        return new Proportion(trueNegative, healthy());
    }

    /** Sensitivity / (1 − specificity); not measured without a false positive. */
    public Estimate positiveLikelihoodRatio() {
        if (falsePositive == 0)
            return none("nobody without the disease tested positive: the counts give no upper bound");
        return ratio(truePositive, falsePositive);
    }

    /** (1 − sensitivity) / specificity; not measured without a true negative. */
    public Estimate negativeLikelihoodRatio() {
        if (trueNegative == 0) return none("nobody without the disease tested negative");
        return ratio(falseNegative, trueNegative);
    }

    /**
     * The ratio of two shares with its 95 % interval on the logarithm's scale.
     *
     * <p>Standard error of the logarithm: √(1/a − 1/n + 1/b − 1/m), for a of n with and b of m without the disease. No
     * interval where a is 0. Source: Simel, Samsa and Matchar, J Clin Epidemiol 1991;44:763.
     */
    private Estimate ratio(int a, int b) {
        double ratio = (double) a / diseased() / ((double) b / healthy());
        if (a == 0) return new Estimate(new Measured(0), Optional.empty());
        double error = Math.sqrt(1.0 / a - 1.0 / diseased() + 1.0 / b - 1.0 / healthy());
        double factor = Math.exp(Proportion.Z * error);
        return new Estimate(new Measured(ratio), Optional.of(new Interval(ratio / factor, ratio * factor)));
    }

    private static Estimate none(String reason) {
        return new Estimate(new NotMeasured(reason), Optional.empty());
    }

    /**
     * Probability of the disease after a result, by Bayes; not measured where an empty cell would make it 0 or 1, which no
     * number of cases can show.
     *
     * <p>P = d π / (d π + h (1 − π)), with d and h the share with this result among diseased and healthy.
     *
     * @param prevalence before the test, strictly between 0 and 1
     */
    public Measurement postTest(boolean positive, double prevalence) {
        int a = positive ? truePositive : falseNegative;
        int b = positive ? falsePositive : trueNegative;
        double diseased = (double) a / diseased();
        double healthy = (double) b / healthy();
        double probability = bayes(diseased, healthy, prevalence);
        if (a == 0 && b == 0) return new NotMeasured("nobody had this result");
        if (a == 0) return new NotMeasured("none of " + diseased() + " with the disease had this result");
        if (b == 0) return new NotMeasured("none of " + healthy() + " without the disease had this result");
        return new Measured(probability);
    }

    static double bayes(double diseased, double healthy, double prevalence) {
        if (!(prevalence > 0 && prevalence < 1))
            throw new IllegalArgumentException("prevalence must lie between 0 and 1, both excluded, got " + prevalence);
        return diseased * prevalence / (diseased * prevalence + healthy * (1 - prevalence));
    }
}
