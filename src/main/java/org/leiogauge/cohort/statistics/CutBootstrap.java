// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Arrays;
import java.util.Optional;
import java.util.SplittableRandom;
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
        Order order = Order.of(scores, positive);
        int[] times = new int[scores.length];
        Arrays.fill(times, 1);
        double[] all = order.youden(times);
        Gathered best = new Gathered(draws);
        Gathered kept = new Gathered(draws);
        for (int d = 0; d < draws; d++) {
            SplittableRandom random = seed.draw(d);
            Arrays.fill(times, 0);
            draw(order.positives(), random, times);
            draw(order.negatives(), random, times);
            best.add(d, order.best(times), order, all);
            kept.add(d, order.keeping(sensitivity, times), order, all);
        }
        return new CutBootstrap(best.result(), kept.result());
    }

    private static void draw(int[] places, SplittableRandom random, int[] times) {
        for (int i = 0; i < places.length; i++) times[places[random.nextInt(places.length)]]++;
    }

    /** A cut above the case at a place of the order, −1 for one below all; and sensitivity + specificity − 1 there. */
    private record Chosen(int at, double youden) {}

    /**
     * Cases in the order of their scores.
     *
     * @param isCut whether the next score is another
     * @param positives the places of the positives
     * @param step what a case at or below the cut adds to sensitivity + specificity − 1, times all pairs of a positive and a
     *     negative
     */
    private record Order(double[] sorted, boolean[] isCut, int[] positives, int[] negatives, long[] step) {
        static Order of(double[] scores, boolean[] positive) {
            double[] yes = Roc.sorted(scores, positive, true);
            double[] no = Roc.sorted(scores, positive, false);
            if (yes.length == 0 || no.length == 0)
                throw new IllegalArgumentException("positive must hold both kinds, got " + yes.length + " positive and "
                        + no.length + " negative");
            int n = scores.length;
            Order order =
                    new Order(new double[n], new boolean[n], new int[yes.length], new int[no.length], new long[n]);
            for (int i = 0, a = 0, b = 0; i < n; i++) {
                boolean isYes = b == no.length || a < yes.length && yes[a] <= no[b];
                order.sorted[i] = isYes ? yes[a] : no[b];
                order.step[i] = isYes ? -no.length : yes.length;
                if (isYes) order.positives[a++] = i;
                else order.negatives[b++] = i;
            }
            for (int i = 0; i < n; i++) order.isCut[i] = i + 1 == n || order.sorted[i + 1] > order.sorted[i];
            return order;
        }

        private double youden(long sum) {
            return sum / ((double) positives.length * negatives.length);
        }

        /** Of a cut above each case, each case counted so many times. */
        double[] youden(int[] times) {
            double[] youden = new double[times.length];
            long sum = 0;
            for (int i = 0; i < times.length; i++) {
                sum += step[i] * times[i];
                youden[i] = youden(sum);
            }
            return youden;
        }

        Chosen best(int[] times) {
            long sum = 0;
            long most = 0;
            int at = -1;
            for (int i = 0; i < times.length; i++) {
                sum += step[i] * times[i];
                if (sum > most && isCut[i]) {
                    most = sum;
                    at = i;
                }
            }
            return new Chosen(at, youden(most));
        }

        Chosen keeping(double sensitivity, int[] times) {
            long sum = 0;
            long there = 0;
            int lost = 0;
            int spared = 0;
            int most = 0;
            int at = -1;
            for (int i = 0; i < times.length; i++) {
                sum += step[i] * times[i];
                if (step[i] < 0) lost += times[i];
                else spared += times[i];
                if (1 - lost / (double) positives.length < sensitivity) break;
                if (spared > most && isCut[i]) {
                    most = spared;
                    there = sum;
                    at = i;
                }
            }
            return new Chosen(at, youden(there));
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

        void add(int draw, Chosen chosen, Order order, double[] all) {
            double there = chosen.at() < 0 ? 0 : all[chosen.at()];
            optimism += (chosen.youden() - there) / thresholds.length;
            thresholds[draw] = order.threshold(chosen.at());
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
