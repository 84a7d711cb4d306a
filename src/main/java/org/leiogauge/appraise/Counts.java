// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import org.leiogauge.table.Interval;

/** A 2×2 table: test positive or negative in those with and without the disease. */
public record Counts(int truePositive, int falseNegative, int falsePositive, int trueNegative) {
    public Counts {
        if (Math.min(Math.min(truePositive, falseNegative), Math.min(falsePositive, trueNegative)) < 0)
            throw new IllegalArgumentException("counts must not be negative");
        if ((long) truePositive + falseNegative < 1 || (long) falsePositive + trueNegative < 1)
            throw new IllegalArgumentException("counts need at least one with and one without the disease");
    }

    public Proportion sensitivity() {
        return new Proportion(truePositive, Math.addExact(truePositive, falseNegative));
    }

    public Proportion specificity() {
        return new Proportion(trueNegative, Math.addExact(trueNegative, falsePositive));
    }

    /** Sensitivity / (1 − specificity); infinite without a false positive, NaN if nobody tested positive. */
    public double positiveLikelihoodRatio() {
        return sensitivity().value() / falsePositiveShare();
    }

    /** (1 − sensitivity) / specificity; infinite if specificity is 0, NaN if nobody tested negative. */
    public double negativeLikelihoodRatio() {
        return falseNegativeShare() / specificity().value();
    }

    /**
     * Probability of the disease after a result, by Bayes; NaN where the likelihood ratio is.
     *
     * @param prevalence before the test, strictly between 0 and 1
     */
    public double postTest(boolean positive, double prevalence) {
        return positive
                ? bayes(sensitivity().value(), falsePositiveShare(), prevalence)
                : bayes(falseNegativeShare(), specificity().value(), prevalence);
    }

    /**
     * Between which values the post-test probability lies when sensitivity and specificity both lie anywhere in their 95 %
     * Wilson intervals: wider than a 95 % interval of the probability itself. Common practice, no source.
     */
    public Interval postTestInterval(boolean positive, double prevalence) {
        Interval sens = sensitivity().wilson();
        Interval spec = specificity().wilson();
        return positive
                ? new Interval(
                        bayes(sens.low(), 1 - spec.low(), prevalence), bayes(sens.high(), 1 - spec.high(), prevalence))
                : new Interval(
                        bayes(1 - sens.high(), spec.high(), prevalence), bayes(1 - sens.low(), spec.low(), prevalence));
    }

    private double falsePositiveShare() {
        return (double) falsePositive / (falsePositive + trueNegative);
    }

    private double falseNegativeShare() {
        return (double) falseNegative / (truePositive + falseNegative);
    }

    /** P = d π / (d π + h (1 − π)), with d and h the share with this result among diseased and healthy. */
    static double bayes(double diseased, double healthy, double prevalence) {
        if (!(prevalence > 0 && prevalence < 1))
            throw new IllegalArgumentException("prevalence must lie between 0 and 1, both excluded, got " + prevalence);
        return diseased * prevalence / (diseased * prevalence + healthy * (1 - prevalence));
    }
}
