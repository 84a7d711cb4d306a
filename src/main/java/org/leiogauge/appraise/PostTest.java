// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import org.leiogauge.table.Interval;

/**
 * How probable the disease is after a result, given how few the counts are and how near the cut-off the measurement lies.
 *
 * <p>Sensitivity and specificity are taken as unknown, each with the distribution that its counts leave: Beta(hits + ½,
 * misses + ½), Jeffreys' prior. Both are cut into 400 parts of equal probability, and Bayes is worked out for each of the
 * 160 000 pairs; median and limits are the 50 %, 2.5 % and 97.5 % points. Where only a share of the draws of the measurement
 * meets the criterion, the probability after a positive result counts with that share and the one after a negative result
 * with the rest. Prevalence is taken as known. Source: Jeffreys interval as in Brown, Cai and DasGupta, Stat Sci
 * 2001;16:101; the combination is common practice, no source.
 *
 * @param median 0 to 1
 * @param interval 95 %
 */
public record PostTest(double median, Interval interval) {
    private static final int PARTS = 400;
    private static final double ROUNDING = 1e-9;
    private static final int STEPS = 20000;

    /**
     * After one result.
     *
     * @param prevalence strictly between 0 and 1
     */
    static PostTest of(Counts counts, boolean positive, double prevalence) {
        return of(counts, positive ? 1 : 0, prevalence);
    }

    /**
     * After a result that is positive in a share of the measurement's draws.
     *
     * @param met share of the draws that meet the criterion, 0 to 1
     */
    static PostTest of(Counts counts, double met, double prevalence) {
        double[] sensitivity = parts(counts.sensitivity());
        double[] specificity = parts(counts.specificity());
        Pairs pairs = new Pairs(sensitivity, specificity, prevalence);
        return new PostTest(
                pairs.quantile(met, 0.5), new Interval(pairs.quantile(met, 0.025), pairs.quantile(met, 0.975)));
    }

    /**
     * The middles of parts of equal probability of Beta(k + ½, n − k + ½).
     *
     * <p>With x = sin²θ the density in θ is proportional to sin²ᵏθ cos²⁽ⁿ⁻ᵏ⁾θ, smooth up to both ends; it is added up over
     * the θ within 12 standard deviations, 1 / (2√n), of the middle.
     */
    private static double[] parts(Proportion share) {
        int k = share.hits();
        int n = share.of();
        double middle = Math.asin(Math.sqrt(share.value()));
        double reach = 6 / Math.sqrt(n);
        double from = Math.max(0, middle - reach);
        double step = (Math.min(Math.PI / 2, middle + reach) - from) / STEPS;
        double top = logDensity(middle, k, n);
        double[] sum = new double[STEPS + 1];
        for (int i = 0; i < STEPS; i++) sum[i + 1] = sum[i] + Math.exp(logDensity(from + (i + 0.5) * step, k, n) - top);
        double[] parts = new double[PARTS];
        int at = 0;
        for (int i = 0; i < PARTS; i++) {
            double wanted = (i + 0.5) / PARTS * sum[STEPS];
            while (sum[at + 1] < wanted) at++;
            double theta = from + step * (at + (wanted - sum[at]) / (sum[at + 1] - sum[at]));
            parts[i] = Math.sin(theta) * Math.sin(theta);
        }
        return parts;
    }

    private static double logDensity(double theta, int k, int n) {
        double sine = k == 0 ? 0 : 2.0 * k * Math.log(Math.sin(theta));
        double cosine = k == n ? 0 : 2.0 * (n - k) * Math.log(Math.cos(theta));
        return sine + cosine;
    }

    /** Every part of the sensitivity with every part of the specificity, both ascending. */
    private record Pairs(double[] sensitivity, double[] specificity, double prevalence) {

        // The smallest value at or below which a share p of the weight lies. Numbers of 0 or more lie in the order of
        // their
        // bits, so halving the bits finds it, without 160 000 values to be sorted.
        double quantile(double met, double p) {
            long low = 0;
            long high = Double.doubleToLongBits(1);
            while (low < high) {
                long middle = (low + high) >>> 1;
                if (weight(met, Double.longBitsToDouble(middle)) >= p - ROUNDING) high = middle;
                else low = middle + 1;
            }
            return Double.longBitsToDouble(low);
        }

        private double weight(double met, double value) {
            double weight = 0;
            if (met > 0) weight += met * upTo(true, value);
            if (met < 1) weight += (1 - met) * upTo(false, value);
            return weight / (PARTS * PARTS);
        }

        // How many pairs lead to this probability or less: one walk along the border between them and the others, for
        // the
        // probability rises with each index.
        private int upTo(boolean positive, double value) {
            int count = 0;
            int j = PARTS;
            for (int i = 0; i < PARTS && j > 0; i++) {
                while (j > 0 && probability(positive, i, j - 1) > value) j--;
                count += j;
            }
            return count;
        }

        // After a negative result it falls with both shares: they are counted from the end.
        private double probability(boolean positive, int i, int j) {
            return positive
                    ? Counts.bayes(sensitivity[i], 1 - specificity[j], prevalence)
                    : Counts.bayes(1 - sensitivity[PARTS - 1 - i], specificity[PARTS - 1 - j], prevalence);
        }
    }
}
