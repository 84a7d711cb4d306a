// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.stream.IntStream;
import org.apache.commons.math3.distribution.NormalDistribution;
import org.leiogauge.table.Estimate;

/**
 * How well a score tells positives from negatives, higher scores speaking for positive.
 *
 * <p>AUC: the share of pairs of a positive and a negative in which the positive scores higher, ties counting half. Its
 * variance: S₁₀/m + S₀₁/n from the placements of the m positives among the n negatives and the other way round. Interval:
 * normal, cut to 0–1. Cost: one sort.
 *
 * <p>Source: DeLong, DeLong and Clarke-Pearson 1988, doi:10.2307/2531595; by ranks: Sun and Xu 2014,
 * doi:10.1109/LSP.2014.2337313; cut-off: Youden 1950, doi:10.1002/1097-0142(1950)3:1&lt;32::AID-CNCR2820030106&gt;3.0.CO;2-3.
 */
public final class Roc {
    // In the order of the scores; what follows in that of the cases.
    private final double[] positives;
    private final double[] negatives;
    private final double[] ofPositives;
    private final double[] ofNegatives;
    private final double auc;

    private Roc(double[] yes, double[] no) {
        positives = yes.clone();
        Arrays.sort(positives);
        negatives = no.clone();
        Arrays.sort(negatives);
        ofPositives = placements(yes, negatives);
        ofNegatives = placements(no, positives);
        for (int i = 0; i < ofNegatives.length; i++) ofNegatives[i] = 1 - ofNegatives[i];
        auc = Arrays.stream(ofPositives).sum() / yes.length;
    }

    /** @param positive what each score's case is; both kinds must occur */
    public static Roc of(double[] scores, boolean[] positive) {
        if (scores.length != positive.length)
            throw new IllegalArgumentException(
                    "positive must have one entry per score, got " + positive.length + " for " + scores.length);
        double[] yes = pick(scores, positive, true);
        double[] no = pick(scores, positive, false);
        if (yes.length == 0 || no.length == 0)
            throw new IllegalArgumentException(
                    "positive must hold both kinds, got " + yes.length + " positive and " + no.length + " negative");
        return new Roc(yes, no);
    }

    private static double[] pick(double[] scores, boolean[] positive, boolean wanted) {
        return IntStream.range(0, scores.length)
                .filter(i -> positive[i] == wanted)
                .mapToDouble(i -> scores[i])
                .toArray();
    }

    /** The scores of one kind of case, in ascending order. */
    static double[] sorted(double[] scores, boolean[] positive, boolean wanted) {
        double[] some = pick(scores, positive, wanted);
        Arrays.sort(some);
        return some;
    }

    // Share of the others that lie below, ties half.
    private static double[] placements(double[] scores, double[] others) {
        double[] placements = new double[scores.length];
        for (int i = 0; i < scores.length; i++) {
            int below = count(others, scores[i], false);
            boolean tied = below < others.length && others[below] == scores[i];
            int orAt = tied ? count(others, scores[i], true) : below;
            placements[i] = (below + orAt) / 2.0 / others.length;
        }
        return placements;
    }

    // How many lie below a value, or at it as well.
    private static int count(double[] sorted, double value, boolean orAt) {
        int low = 0;
        int high = sorted.length;
        while (low < high) {
            int middle = (low + high) >>> 1;
            if (sorted[middle] < value || orAt && sorted[middle] == value) low = middle + 1;
            else high = middle;
        }
        return low;
    }

    public double auc() {
        return auc;
    }

    public int positives() {
        return positives.length;
    }

    public int negatives() {
        return negatives.length;
    }

    /** Of the AUC; 0 where the classes are separated, NaN where one has a single case. */
    public double variance() {
        return covariance(ofPositives, ofPositives) / positives.length
                + covariance(ofNegatives, ofNegatives) / negatives.length;
    }

    /** The AUC with its interval; none where the variance is 0 or not known. */
    public Estimate estimate() {
        double half = Estimate.Z * Math.sqrt(variance());
        return half > 0
                ? Estimate.of(auc, Math.max(0, auc - half), Math.min(1, auc + half), "")
                : Estimate.of(auc, Double.NaN, Double.NaN, "");
    }

    /**
     * The standard error to expect of an AUC before there is data, from scores with exponential distributions.
     *
     * <p>√((A(1 − A) + (m − 1)(Q₁ − A²) + (n − 1)(Q₂ − A²)) / mn), Q₁ = A/(2 − A), Q₂ = 2A²/(1 + A); m positives, n
     * negatives. Source: Hanley and McNeil 1982, doi:10.1148/radiology.143.1.7063747.
     */
    public static double expectedError(double auc, int positives, int negatives) {
        double q1 = auc / (2 - auc);
        double q2 = 2 * auc * auc / (1 + auc);
        double sum = auc * (1 - auc) + (positives - 1) * (q1 - auc * auc) + (negatives - 1) * (q2 - auc * auc);
        return Math.sqrt(sum / ((double) positives * negatives));
    }

    /** Two-sided p-value of the rank sum test against an AUC of ½, normal with corrections for ties and continuity. */
    public double rankSumP() {
        double m = positives.length;
        double n = negatives.length;
        double[] all = Arrays.copyOf(positives, positives.length + negatives.length);
        System.arraycopy(negatives, 0, all, positives.length, negatives.length);
        Arrays.sort(all);
        double ties = 0;
        for (int i = 0, j; i < all.length; i = j) {
            for (j = i; j < all.length && all[j] == all[i]; ) j++;
            double t = j - i;
            ties += t * t * t - t;
        }
        double sd = Math.sqrt(m * n / 12 * (m + n + 1 - ties / ((m + n) * (m + n - 1))));
        double off = Math.abs(auc * m * n - m * n / 2);
        return sd == 0 ? 1 : twoSided(Math.max(0, off - 0.5) / sd);
    }

    /** Two scores of the same cases. */
    public record Comparison(double difference, double z, double p) {}

    /** This score's AUC less another's on the same cases in the same order; z and p are NaN where the variance is 0. */
    public Comparison against(Roc other) {
        if (other.positives.length != positives.length || other.negatives.length != negatives.length)
            throw new IllegalArgumentException("other must be of the same cases");
        double covariance = covariance(ofPositives, other.ofPositives) / positives.length
                + covariance(ofNegatives, other.ofNegatives) / negatives.length;
        double z = (auc - other.auc) / Math.sqrt(variance() + other.variance() - 2 * covariance);
        return new Comparison(auc - other.auc, z, twoSided(Math.abs(z)));
    }

    /** A cut-off and what it gives: positive is a score above the threshold. */
    public record Cut(double threshold, double sensitivity, double specificity) {
        double youden() {
            return sensitivity + specificity - 1;
        }
    }

    /** Every cut half-way between two scores that follow each other, from the lowest threshold to the highest. */
    public List<Cut> cuts() {
        List<Cut> cuts = new ArrayList<>();
        int yes = 0;
        int no = 0;
        double last = Double.NEGATIVE_INFINITY;
        while (yes < positives.length || no < negatives.length) {
            boolean isYes = no == negatives.length || yes < positives.length && positives[yes] <= negatives[no];
            double score = isYes ? positives[yes] : negatives[no];
            cuts.add(cut((last + score) / 2, yes, no));
            for (; yes < positives.length && positives[yes] == score; yes++) {}
            for (; no < negatives.length && negatives[no] == score; no++) {}
            last = score;
        }
        cuts.add(cut(Double.POSITIVE_INFINITY, yes, no));
        return cuts;
    }

    // Between so many positives and negatives below, and the others.
    private Cut cut(double threshold, int yes, int no) {
        return new Cut(threshold, 1 - yes / (double) positives.length, no / (double) negatives.length);
    }

    /** The cut with the largest sum of sensitivity and specificity; of equal ones the lowest threshold. */
    public Cut youden() {
        List<Cut> cuts = cuts();
        Cut best = cuts.get(0);
        for (Cut cut : cuts) if (cut.youden() > best.youden() + 1e-12) best = cut;
        return best;
    }

    /** The cut with the highest specificity whose sensitivity is at least as asked; of equal ones the lowest threshold. */
    public Cut atSensitivity(double least) {
        List<Cut> cuts = cuts();
        Cut best = cuts.get(0);
        for (Cut cut : cuts) if (cut.sensitivity() >= least && cut.specificity() > best.specificity()) best = cut;
        return best;
    }

    private static double covariance(double[] a, double[] b) {
        double meanA = Arrays.stream(a).sum() / a.length;
        double meanB = Arrays.stream(b).sum() / b.length;
        double sum = 0;
        for (int i = 0; i < a.length; i++) sum += (a[i] - meanA) * (b[i] - meanB);
        return sum / (a.length - 1);
    }

    private static double twoSided(double z) {
        return Double.isNaN(z) ? Double.NaN : 2 * new NormalDistribution().cumulativeProbability(-z);
    }
}
