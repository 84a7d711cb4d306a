// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.function.ToDoubleFunction;
import org.leiogauge.table.FeatureValue;

/**
 * The family of intensity-based statistics: how the intensities of the region after re-segmentation are distributed.
 *
 * <p>Letters: N voxels with intensities x, mean μ, variance σ², percentiles P.
 *
 * <p>Source: IBSI reference manual, intensity-based statistical features (UHIW).
 */
final class IntensityStatistics {
    private static final String FLAT = "all intensities are equal";

    static final List<Feature<Distribution>> FEATURES = List.of(
            of("mean intensity", "Q4LE", "Mean: 1/N sum x", Distribution::mean),
            of("intensity variance", "ECT3", "Population variance: 1/N sum (x - mu)^2", Distribution::variance),
            of("intensity skewness", "KE2A", "Third central moment over sigma^3", Distribution::skewness),
            of(
                    "(excess) intensity kurtosis",
                    "IPH6",
                    "Fourth central moment over sigma^4, less 3",
                    Distribution::excessKurtosis),
            of("median intensity", "Y12H", "Median", Distribution::median),
            of("minimum intensity", "1GSF", "Lowest intensity", Distribution::minimum),
            of("10th intensity percentile", "QG58", "10th percentile (type 7)", d -> d.percentile(10)),
            of("90th intensity percentile", "8DWT", "90th percentile (type 7)", d -> d.percentile(90)),
            of("maximum intensity", "84IY", "Highest intensity", Distribution::maximum),
            of("intensity interquartile range", "SALO", "P75 - P25", Distribution::interquartileRange),
            of("intensity range", "2OJQ", "Highest less lowest intensity", Distribution::range),
            of(
                    "intensity-based mean absolute deviation",
                    "4FUA",
                    "Mean absolute deviation from the mean: 1/N sum |x - mu|",
                    Distribution::meanAbsoluteDeviation),
            of(
                    "intensity-based robust mean absolute deviation",
                    "1128",
                    "Mean absolute deviation from their mean of the intensities from P10 to P90",
                    Distribution::robustMeanAbsoluteDeviation),
            of(
                    "intensity-based median absolute deviation",
                    "N72L",
                    "Mean absolute deviation from the median: 1/N sum |x - P50|",
                    Distribution::medianAbsoluteDeviation),
            of("intensity-based coefficient of variation", "7TET", "sigma / mu", Distribution::coefficientOfVariation),
            of(
                    "intensity-based quartile coefficient of dispersion",
                    "9S40",
                    "(P75 - P25) / (P75 + P25)",
                    Distribution::quartileCoefficientOfDispersion),
            of("intensity-based energy", "N8CA", "sum x^2", Distribution::energy),
            of("root mean square intensity", "5ZWQ", "sqrt(1/N sum x^2)", Distribution::rootMeanSquare));

    private IntensityStatistics() {}

    static List<FeatureValue> measure(Distribution intensities) {
        return Feature.of(FEATURES, intensities, Aggregations.VOLUME);
    }

    private static Feature<Distribution> of(
            String name, String code, String meaning, ToDoubleFunction<Distribution> formula) {
        String undefined =
                code.equals("7TET") ? "the mean is 0" : code.equals("9S40") ? "the quartiles add up to 0" : FLAT;
        return Feature.of(Family.INTENSITY, name, code, "1", meaning, undefined, formula);
    }
}
