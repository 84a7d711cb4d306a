// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;
import java.util.function.ToDoubleFunction;
import org.leiogauge.table.FeatureValue;

/**
 * The intensity histogram family: how the grey levels of the region are distributed, empty bins from 1 to the highest
 * level included.
 *
 * <p>Letters: n(i) voxels of level i, p(i) = n(i) / N, mean μ, variance σ², percentiles P. Gradient of the histogram:
 * (n(i + 1) − n(i − 1)) / 2, at the ends n(2) − n(1) and n(N_g) − n(N_g − 1).
 *
 * <p>Source: IBSI reference manual, intensity histogram features (ZVCW).
 */
final class IntensityHistogram {
    private static final String FLAT = "all grey levels are equal";

    static final List<Feature<IntensityHistogram>> FEATURES = List.of(
            moment("mean discretised intensity", "X6K6", "Mean grey level", Distribution::mean),
            moment(
                    "discretised intensity variance",
                    "CH89",
                    "Population variance of the grey levels",
                    Distribution::variance),
            moment(
                    "discretised intensity skewness",
                    "88K1",
                    "Third central moment over sigma^3",
                    Distribution::skewness),
            moment(
                    "(excess) discretised intensity kurtosis",
                    "C3I7",
                    "Fourth central moment over sigma^4, less 3",
                    Distribution::excessKurtosis),
            moment("median discretised intensity", "WIFQ", "Median grey level", Distribution::median),
            moment("minimum discretised intensity", "1PR8", "Lowest grey level", Distribution::minimum),
            moment("10th discretised intensity percentile", "GPMT", "10th percentile (type 7)", d -> d.percentile(10)),
            moment("90th discretised intensity percentile", "OZ0C", "90th percentile (type 7)", d -> d.percentile(90)),
            moment("maximum discretised intensity", "3NCY", "Highest grey level", Distribution::maximum),
            of(
                    "intensity histogram mode",
                    "AMMC",
                    "1",
                    "Most frequent grey level; of several the one next to the mean",
                    h -> h.mode()),
            moment("discretised intensity interquartile range", "WR0O", "P75 - P25", Distribution::interquartileRange),
            moment("discretised intensity range", "5Z3W", "Highest less lowest grey level", Distribution::range),
            moment(
                    "intensity histogram mean absolute deviation",
                    "D2ZX",
                    "Mean absolute deviation from the mean",
                    Distribution::meanAbsoluteDeviation),
            moment(
                    "intensity histogram robust mean absolute deviation",
                    "WRZB",
                    "Mean absolute deviation from their mean of the grey levels from P10 to P90",
                    Distribution::robustMeanAbsoluteDeviation),
            moment(
                    "intensity histogram median absolute deviation",
                    "4RNL",
                    "Mean absolute deviation from the median",
                    Distribution::medianAbsoluteDeviation),
            moment(
                    "intensity histogram coefficient of variation",
                    "CWYJ",
                    "sigma / mu",
                    Distribution::coefficientOfVariation),
            moment(
                    "intensity histogram quartile coefficient of dispersion",
                    "SLWD",
                    "(P75 - P25) / (P75 + P25)",
                    Distribution::quartileCoefficientOfDispersion),
            of("discretised intensity entropy", "TLU2", "bit", "-sum p log2 p", h -> h.distribution.entropy()),
            moment("discretised intensity uniformity", "BJ5W", "sum p^2", Distribution::uniformity),
            of("maximum histogram gradient", "12CE", "1", "Highest gradient of the histogram", h -> h.steepest(1)),
            of(
                    "maximum histogram gradient intensity",
                    "8E6O",
                    "1",
                    "Grey level at which the gradient is highest; the lowest of several",
                    h -> h.steepestLevel(1)),
            of("minimum histogram gradient", "VQB3", "1", "Lowest gradient of the histogram", h -> h.steepest(-1)),
            of(
                    "minimum histogram gradient intensity",
                    "RHQZ",
                    "1",
                    "Grey level at which the gradient is lowest; the lowest of several",
                    h -> h.steepestLevel(-1)));

    private final int[] counts;
    private final Distribution distribution;

    private IntensityHistogram(int[] counts) {
        this.counts = counts;
        this.distribution = Distribution.of(counts, 1);
    }

    static List<FeatureValue> measure(Levels levels) {
        return Feature.of(FEATURES, of(levels), Aggregations.VOLUME);
    }

    /** Counts per level, from level 1 on. */
    static IntensityHistogram of(Levels levels) {
        int[] all = new int[levels.count() + 1];
        for (char level : levels.padded()) all[level]++;
        return new IntensityHistogram(Arrays.copyOfRange(all, 1, all.length));
    }

    private double mode() {
        int best = 0;
        for (int i = 1; i < counts.length; i++) {
            boolean isNearer = Math.abs(i + 1 - distribution.mean()) < Math.abs(best + 1 - distribution.mean());
            if (counts[i] > counts[best] || counts[i] == counts[best] && isNearer) best = i;
        }
        return best + 1;
    }

    private double steepest(int sign) {
        return gradient((int) steepestLevel(sign));
    }

    private double steepestLevel(int sign) {
        int best = 1;
        for (int level = 2; level <= counts.length; level++)
            if (sign * gradient(level) > sign * gradient(best)) best = level;
        return counts.length == 1 ? Double.NaN : best;
    }

    private double gradient(int level) {
        int n = counts.length;
        if (n == 1) return Double.NaN;
        int i = level - 1;
        if (i == 0) return counts[1] - counts[0];
        return i == n - 1 ? counts[i] - counts[i - 1] : (counts[i + 1] - counts[i - 1]) / 2.0;
    }

    private static Feature<IntensityHistogram> moment(
            String name, String code, String meaning, ToDoubleFunction<Distribution> formula) {
        return of(name, code, "1", meaning, h -> formula.applyAsDouble(h.distribution));
    }

    private static Feature<IntensityHistogram> of(
            String name, String code, String unit, String meaning, ToDoubleFunction<IntensityHistogram> formula) {
        return Feature.of(Family.HISTOGRAM, name, code, unit, meaning, FLAT, formula);
    }
}
