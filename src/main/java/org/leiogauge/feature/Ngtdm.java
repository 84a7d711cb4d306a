// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;
import java.util.function.ToDoubleFunction;
import java.util.stream.IntStream;
import org.leiogauge.table.FeatureValue;

/**
 * The neighbourhood grey tone difference matrix: per level i the number n of voxels with a neighbour in the region, and
 * the sum s of the absolute differences between i and the mean level of these neighbours.
 *
 * <p>Letters: N = Σ n, p(i) = n(i) / N, N_gp number of levels with n &gt; 0. Cost of the double sums: the square of N_gp.
 *
 * <p>Source: IBSI reference manual, neighbourhood grey tone difference based features (IPET).
 */
public final class Ngtdm implements TextureMatrix<Ngtdm> {
    static final List<Feature<Ngtdm>> FEATURES = List.of(
            of(
                    "coarseness",
                    "QCDE",
                    "1 / sum p s",
                    "no voxel differs from its neighbours",
                    m -> 1 / m.weightedDifferences()),
            of(
                    "contrast",
                    "65HE",
                    "sum p(i) p(j) (i - j)^2 / (Ngp (Ngp - 1)) times sum s / N",
                    "fewer than two grey levels have neighbours",
                    Ngtdm::contrast),
            of(
                    "busyness",
                    "NQ30",
                    "sum p s / sum |i p(i) - j p(j)|",
                    "fewer than two grey levels have neighbours",
                    m -> m.weightedDifferences() / m.overPairs((i, j) -> Math.abs(i * m.p(i) - j * m.p(j)))),
            of(
                    "complexity",
                    "HDEZ",
                    "1/N sum |i - j| (p(i) s(i) + p(j) s(j)) / (p(i) + p(j))",
                    "no voxel has a neighbour",
                    m -> m.overPairs((i, j) ->
                                    Math.abs(i - j) * (m.p(i) * m.sums[i] + m.p(j) * m.sums[j]) / (m.p(i) + m.p(j)))
                            / m.total),
            of(
                    "strength",
                    "1X9X",
                    "sum (p(i) + p(j)) (i - j)^2 / sum s",
                    "no voxel differs from its neighbours",
                    m -> m.overPairs((i, j) -> (m.p(i) + m.p(j)) * (i - j) * (i - j)) / m.differences()));

    private final int[] counts;
    private final double[] sums;
    private final long total;
    private final int[] occurring;

    private Ngtdm(int[] counts, double[] sums) {
        this.counts = counts;
        this.sums = sums;
        total = Arrays.stream(counts).asLongStream().sum();
        occurring = IntStream.range(0, counts.length).filter(i -> counts[i] > 0).toArray();
    }

    /** @param counts n per level, {@code sums} s per level; index 0 unused */
    static Ngtdm of(int[] counts, double[] sums) {
        return new Ngtdm(counts, sums);
    }

    static List<FeatureValue> measure(List<Ngtdm> matrices, Settings settings) {
        return TextureMatrix.measure(FEATURES, matrices, settings.dimensions());
    }

    /** The highest level. */
    public int levels() {
        return counts.length - 1;
    }

    /** Number of voxels of a level that have a neighbour. */
    public int count(int level) {
        return counts[level];
    }

    /** Sum of the absolute differences at a level. */
    public double sum(int level) {
        return sums[level];
    }

    @Override
    public boolean isEmpty() {
        return total == 0;
    }

    @Override
    public Ngtdm plus(List<Ngtdm> others) {
        int[] n = counts.clone();
        double[] s = sums.clone();
        for (Ngtdm other : others)
            for (int i = 0; i < n.length; i++) {
                n[i] += other.counts[i];
                s[i] += other.sums[i];
            }
        return new Ngtdm(n, s);
    }

    /** One line per level with a voxel: level, s, n. */
    @Override
    public String toString() {
        StringBuilder text = new StringBuilder();
        for (int i : occurring)
            text.append(i)
                    .append(',')
                    .append(sums[i])
                    .append(',')
                    .append(counts[i])
                    .append('\n');
        return text.toString();
    }

    private double p(int level) {
        return (double) counts[level] / total;
    }

    private double weightedDifferences() {
        double sum = 0;
        for (int i : occurring) sum += p(i) * sums[i];
        return sum;
    }

    private double differences() {
        double sum = 0;
        for (int i : occurring) sum += sums[i];
        return sum;
    }

    private double contrast() {
        double n = occurring.length;
        return overPairs((i, j) -> p(i) * p(j) * (i - j) * (i - j)) / (n * (n - 1)) * (differences() / total);
    }

    private double overPairs(Term term) {
        double sum = 0;
        for (int i : occurring) for (int j : occurring) sum += term.of(i, j);
        return sum;
    }

    @FunctionalInterface
    private interface Term {
        double of(int i, int j);
    }

    private static Feature<Ngtdm> of(
            String name, String code, String meaning, String undefined, ToDoubleFunction<Ngtdm> formula) {
        return Feature.of(Family.NGTDM, name, code, "1", meaning, undefined, formula);
    }
}
