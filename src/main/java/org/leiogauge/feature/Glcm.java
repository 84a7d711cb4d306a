// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.List;
import java.util.function.DoubleBinaryOperator;
import java.util.function.ToDoubleFunction;
import org.leiogauge.table.FeatureValue;

/**
 * The grey level co-occurrence matrix: how often level i lies beside level j, at a distance along a direction and its
 * opposite.
 *
 * <p>Letters: p(i, j) = count / sum of counts; μ mean and σ² variance of i; p₋(k) = Σ p over |i − j| = k; p₊(k) = Σ p
 * over i + j = k; N_g highest level of the whole region. Matrices without a pair are left out of means.
 *
 * <p>Source: IBSI reference manual, grey level co-occurrence based features (LFYI).
 */
public final class Glcm implements TextureMatrix<Glcm> {
    private static final String EMPTY = "no two voxels of the region lie beside each other";

    static final List<Feature<Glcm>> FEATURES = List.of(
            of("joint maximum", "GYBY", "max p", g -> g.overPairs((p, i, j) -> p, Math::max)),
            of("joint average", "60VM", "mu = sum i p", g -> g.mean),
            of("joint variance", "UR99", "sigma^2 = sum (i - mu)^2 p", g -> g.variance),
            ofBits("joint entropy", "TU9B", "-sum p log2 p", Glcm::entropy),
            of("difference average", "TF7R", "sum k p-(k)", g -> g.differenceMoment(1, 0)),
            of(
                    "difference variance",
                    "D3YU",
                    "Variance of k under p-(k)",
                    g -> g.differenceMoment(2, g.differenceMoment(1, 0))),
            ofBits("difference entropy", "NTRS", "-sum p-(k) log2 p-(k)", g -> entropy(g.difference)),
            of("sum average", "ZGXS", "sum k p+(k)", g -> g.sumMoment(1, 0)),
            of("sum variance", "OEEB", "Variance of k under p+(k)", g -> g.sumMoment(2, g.sumMoment(1, 0))),
            ofBits("sum entropy", "P6QZ", "-sum p+(k) log2 p+(k)", g -> entropy(g.sum)),
            of("angular second moment", "8ZQL", "sum p^2", g -> g.overPairs((p, i, j) -> p * p)),
            of("contrast", "ACUI", "sum (i - j)^2 p", g -> g.differenceMoment(2, 0)),
            of("dissimilarity", "8S9J", "sum |i - j| p", g -> g.differenceMoment(1, 0)),
            of("inverse difference", "IB1Z", "sum p / (1 + |i - j|)", g -> g.overDifferences(k -> 1 / (1 + k))),
            of(
                    "normalised inverse difference",
                    "NDRX",
                    "sum p / (1 + |i - j| / Ng)",
                    g -> g.overDifferences(k -> 1 / (1 + k / g.levels))),
            of(
                    "inverse difference moment",
                    "WF0Z",
                    "sum p / (1 + (i - j)^2)",
                    g -> g.overDifferences(k -> 1 / (1 + k * k))),
            of(
                    "normalised inverse difference moment",
                    "1QCO",
                    "sum p / (1 + (i - j)^2 / Ng^2)",
                    g -> g.overDifferences(k -> 1 / (1 + k * k / ((double) g.levels * g.levels)))),
            of(
                    "inverse variance",
                    "E8JP",
                    "sum over i != j of p / (i - j)^2",
                    g -> g.overDifferences(k -> k == 0 ? 0 : 1 / (k * k))),
            of(
                    "correlation",
                    "NI2N",
                    "sum (i - mu) (j - mu) p / sigma^2",
                    "all pairs are of one grey level",
                    g -> g.overPairs((p, i, j) -> (i - g.mean) * (j - g.mean) * p) / g.variance),
            of("autocorrelation", "QWB0", "sum i j p", g -> g.overPairs((p, i, j) -> p * i * j)),
            of("cluster tendency", "DG8W", "sum (i + j - 2 mu)^2 p", g -> g.sumMoment(2, 2 * g.mean)),
            of("cluster shade", "7NFM", "sum (i + j - 2 mu)^3 p", g -> g.sumMoment(3, 2 * g.mean)),
            of("cluster prominence", "AE86", "sum (i + j - 2 mu)^4 p", g -> g.sumMoment(4, 2 * g.mean)),
            of(
                    "information correlation 1",
                    "R8DG",
                    "(HXY - HXY1) / HX",
                    "all pairs are of one grey level",
                    g -> (g.entropy() - 2 * entropy(g.marginal)) / entropy(g.marginal)),
            of(
                    "information correlation 2",
                    "JN9H",
                    "sqrt(1 - exp(-2 (HXY2 - HXY)))",
                    EMPTY,
                    // Independent levels give 0 but for round-off, which must not reach the root.
                    g -> Math.sqrt(1 - Math.exp(-2 * Math.max(0, 2 * entropy(g.marginal) - g.entropy())))));

    private final CountMatrix counts;
    private final int levels;
    private final double[] marginal;
    private final double[] difference;
    private final double[] sum;
    private final double mean;
    private final double variance;

    private Glcm(CountMatrix counts, int levels) {
        this.counts = counts;
        this.levels = levels;
        int highest = counts.highestRow();
        marginal = new double[highest + 1];
        difference = new double[highest + 1];
        sum = new double[2 * highest + 1];
        for (int k = 0; k < counts.size(); k++) {
            int i = counts.row(k);
            int j = counts.column(k);
            marginal[i] += counts.count(k);
            difference[Math.abs(i - j)] += counts.count(k);
            sum[i + j] += counts.count(k);
        }
        for (double[] share : List.of(marginal, difference, sum))
            for (int i = 0; i < share.length; i++) share[i] /= counts.total();
        mean = moment(marginal, 1, 0);
        variance = moment(marginal, 2, mean);
    }

    /** The matrix of one direction and its opposite in the slices from one to another, both included. */
    public static Glcm of(Levels levels, Direction direction, int distance, int fromZ, int toZ) {
        CountMatrix.Tally tally = new CountMatrix.Tally(levels.count(), levels.count());
        int offset = distance * direction.offset(levels);
        tally.addPairs(levels.padded(), levels.first(fromZ), levels.behind(toZ), offset);
        return new Glcm(tally.matrix().symmetric(), levels.count());
    }

    static List<FeatureValue> measure(Levels levels, Settings settings) {
        int distance = settings.texture().distance();
        return TextureMatrix.measure(
                FEATURES, levels, settings.dimensions(), (d, from, to) -> of(levels, d, distance, from, to));
    }

    /** The counts; rows and columns are grey levels. */
    public CountMatrix counts() {
        return counts;
    }

    @Override
    public boolean isEmpty() {
        return counts.isEmpty();
    }

    @Override
    public Glcm plus(List<Glcm> others) {
        List<CountMatrix> parts = new ArrayList<>(List.of(counts));
        others.forEach(other -> parts.add(other.counts));
        return new Glcm(CountMatrix.sum(parts), levels);
    }

    // HX = HY in a symmetric matrix, and HXY1 = HXY2 = HX + HY because the log of a product is a sum.
    private double entropy() {
        return overPairs((p, i, j) -> -p * Distribution.log2(p));
    }

    private double differenceMoment(int order, double about) {
        return moment(difference, order, about);
    }

    private double sumMoment(int order, double about) {
        return moment(sum, order, about);
    }

    private static double moment(double[] shares, int order, double about) {
        double moment = 0;
        for (int k = 0; k < shares.length; k++) {
            double d = k - about;
            moment += shares[k] * (order == 1 ? d : order == 2 ? d * d : order == 3 ? d * d * d : d * d * (d * d));
        }
        return moment;
    }

    private static double entropy(double[] shares) {
        double entropy = 0;
        for (double share : shares) if (share > 0) entropy -= share * Distribution.log2(share);
        return entropy;
    }

    private double overDifferences(ToDouble weight) {
        double total = 0;
        for (int k = 0; k < difference.length; k++) total += weight.of(k) * difference[k];
        return total;
    }

    private double overPairs(Term term) {
        return overPairs(term, Double::sum);
    }

    private double overPairs(Term term, DoubleBinaryOperator join) {
        double result = 0;
        for (int k = 0; k < counts.size(); k++) {
            double p = (double) counts.count(k) / counts.total();
            result = join.applyAsDouble(result, term.of(p, counts.row(k), counts.column(k)));
        }
        return result;
    }

    @FunctionalInterface
    private interface Term {
        double of(double p, double i, double j);
    }

    @FunctionalInterface
    private interface ToDouble {
        double of(double k);
    }

    private static Feature<Glcm> of(String name, String code, String meaning, ToDoubleFunction<Glcm> formula) {
        return of(name, code, meaning, EMPTY, formula);
    }

    private static Feature<Glcm> of(
            String name, String code, String meaning, String undefined, ToDoubleFunction<Glcm> formula) {
        return Feature.of(
                Family.GLCM,
                name,
                code,
                "1",
                meaning,
                undefined,
                g -> g.isEmpty() ? Double.NaN : formula.applyAsDouble(g));
    }

    private static Feature<Glcm> ofBits(String name, String code, String meaning, ToDoubleFunction<Glcm> formula) {
        return Feature.of(
                Family.GLCM,
                name,
                code,
                "bit",
                meaning,
                EMPTY,
                g -> g.isEmpty() ? Double.NaN : formula.applyAsDouble(g));
    }
}
