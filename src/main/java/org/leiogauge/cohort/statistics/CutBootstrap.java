// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Arrays;
import java.util.Comparator;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.apache.commons.math3.stat.descriptive.rank.Percentile;
import org.leiogauge.table.Interval;
import org.leiogauge.task.Seed;

/**
 * How far the cut-offs of a score, and what they promise, would move had other cases come: the one by Youden, and the one that
 * keeps a sensitivity.
 *
 * <p>Cases are drawn with replacement, positives and negatives apart; each draw chooses both cut-offs anew. Cost: one sort,
 * then linear per draw.
 *
 * <p>Source: Efron and Tibshirani 1993, An introduction to the bootstrap, chapters 13 and 17; Harrell, Lee and Mark 1996,
 * doi:10.1002/(SICI)1097-0258(19960229)15:4&lt;361::AID-SIM168&gt;3.0.CO;2-4.
 */
public record CutBootstrap(OfCut youden, OfCut atSensitivity) {

    /**
     * One kind of cut-off.
     *
     * @param interval from the 2.5th to the 97.5th percentile of the draws, in the score's unit; none if no draw had a finite
     *     one
     * @param optimism of the sum of sensitivity and specificity: mean over the draws of (the draw's own cut on the draw) −
     *     (the same cut on all cases); it is to be taken off. No unit
     */
    public record OfCut(Optional<Interval> interval, double optimism) {}

    /** @param sensitivity that the second cut-off keeps, above 0 and at most 1, as {@link Roc#atSensitivity} */
    public static CutBootstrap of(double[] scores, boolean[] positive, double sensitivity, int draws, Seed seed) {
        int n = scores.length;
        Integer[] order = IntStream.range(0, n).boxed().toArray(Integer[]::new);
        Arrays.sort(order, Comparator.comparingDouble(i -> scores[i]));
        double[] sorted = new double[n];
        boolean[] yes = new boolean[n];
        for (int i = 0; i < n; i++) {
            sorted[i] = scores[order[i]];
            yes[i] = positive[order[i]];
        }
        int[] positives = IntStream.range(0, n).filter(i -> yes[i]).toArray();
        int[] negatives = IntStream.range(0, n).filter(i -> !yes[i]).toArray();
        if (positives.length == 0 || negatives.length == 0)
            throw new IllegalArgumentException("positive must hold both kinds, got " + positives.length
                    + " positive and " + negatives.length + " negative");
        int[] once = new int[n];
        Arrays.fill(once, 1);
        Sample all = new Sample(sorted, yes, positives.length, negatives.length, once);
        Gathered best = new Gathered(draws);
        Gathered kept = new Gathered(draws);
        for (int d = 0; d < draws; d++) {
            SplittableRandom random = seed.draw(d);
            int[] times = new int[n];
            for (int i = 0; i < positives.length; i++) times[positives[random.nextInt(positives.length)]]++;
            for (int i = 0; i < negatives.length; i++) times[negatives[random.nextInt(negatives.length)]]++;
            Sample drawn = new Sample(sorted, yes, positives.length, negatives.length, times);
            best.add(d, drawn.best(), drawn, all);
            kept.add(d, drawn.keeping(sensitivity), drawn, all);
        }
        return new CutBootstrap(best.result(), kept.result());
    }

    /** Cases in the order of their scores, each so many times, and what a cut above the i-th of them gives. */
    private static final class Sample {
        private final double[] sorted;
        private final double positives;
        // sensitivity + specificity − 1, and the positives and negatives at or below
        private final double[] youden;
        private final int[] lost;
        private final int[] spared;

        Sample(double[] sorted, boolean[] yes, double positives, double negatives, int[] times) {
            this.sorted = sorted;
            this.positives = positives;
            this.youden = new double[sorted.length];
            this.lost = new int[sorted.length];
            this.spared = new int[sorted.length];
            double value = 0;
            int below = 0;
            int all = 0;
            for (int i = 0; i < sorted.length; i++) {
                value += yes[i] ? -times[i] / positives : times[i] / negatives;
                if (yes[i]) below += times[i];
                all += times[i];
                youden[i] = value;
                lost[i] = below;
                spared[i] = all - below;
            }
        }

        // −1 puts the cut below all.
        private int best() {
            double most = 0;
            int at = -1;
            for (int i = 0; i < sorted.length; i++)
                if (youden[i] > most + 1e-12 && isCut(i)) {
                    most = youden[i];
                    at = i;
                }
            return at;
        }

        private int keeping(double sensitivity) {
            int at = -1;
            for (int i = 0; i < sorted.length && 1 - lost[i] / positives >= sensitivity; i++)
                if (spared[i] > (at < 0 ? 0 : spared[at]) && isCut(i)) at = i;
            return at;
        }

        private boolean isCut(int i) {
            return i + 1 == sorted.length || sorted[i + 1] > sorted[i];
        }

        double youden(int at) {
            return at < 0 ? 0 : youden[at];
        }

        double threshold(int at) {
            return at < 0 || at + 1 >= sorted.length ? Double.NaN : (sorted[at] + sorted[at + 1]) / 2;
        }
    }

    /** What the draws say of one kind of cut-off. */
    private static final class Gathered {
        private final double[] thresholds;
        private double optimism;

        Gathered(int draws) {
            thresholds = new double[draws];
        }

        void add(int draw, int at, Sample drawn, Sample all) {
            optimism += (drawn.youden(at) - all.youden(at)) / thresholds.length;
            thresholds[draw] = drawn.threshold(at);
        }

        OfCut result() {
            double[] finite = Arrays.stream(thresholds).filter(Double::isFinite).toArray();
            if (finite.length == 0) return new OfCut(Optional.empty(), optimism);
            Percentile percentile = new Percentile().withEstimationType(Percentile.EstimationType.R_7);
            percentile.setData(finite);
            return new OfCut(Optional.of(new Interval(percentile.evaluate(2.5), percentile.evaluate(97.5))), optimism);
        }
    }
}
