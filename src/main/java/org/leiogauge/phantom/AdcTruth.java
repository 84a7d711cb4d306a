// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.OptionalDouble;
import java.util.function.IntPredicate;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

/** True distribution of the ADC in a lesion, over points that fill its sharp surface evenly, texture included. */
final class AdcTruth {
    /** Radius of the ball of the lowest region, in mm. */
    static final double BALL_MM = 5;
    /** Below it an ADC counts as restricted, in 10⁻³ mm²/s. */
    static final double CUT_OFF = 0.905;

    private static final String UNIT = "10-3.mm2/s";
    private static final int[] PERCENTS = {5, 10, 25, 50, 75, 90, 95};

    private AdcTruth() {}

    static List<TruthRow> of(SampledTissue sampled, PointLattice lattice, Workers workers) {
        double[] adc = sampled.adc();
        double[] sorted = adc.clone();
        Arrays.sort(sorted);
        double mean = Arrays.stream(sorted).sum() / sorted.length;
        List<TruthRow> rows = new ArrayList<>();
        rows.add(TruthRow.of("adc mean", mean, UNIT, "over the continuous lesion, its texture included"));
        for (int percent : PERCENTS)
            rows.add(TruthRow.of(
                    String.format(Locale.ROOT, "adc p%02d", percent),
                    percentile(sorted, percent / 100.0),
                    UNIT,
                    "over the continuous lesion, linear between order statistics (type 7)"));
        rows.add(lowest("", p -> sampled.properties(p).peakMm() > 0, "tissue that enhances", adc, lattice, workers));
        rows.add(lowest("any tissue", p -> true, "the lesion", adc, lattice, workers));
        rows.addAll(moments(sorted, mean));
        double restricted = Arrays.stream(adc).filter(v -> v < CUT_OFF).count() / (double) adc.length;
        rows.add(TruthRow.of("restricted fraction", restricted, "1", "share with an ADC under 0.905e-3 mm2/s"));
        return rows;
    }

    private static TruthRow lowest(
            String aggregation, IntPredicate is, String where, double[] adc, PointLattice lattice, Workers workers) {
        OptionalDouble least = lattice.smallestBallMean(BALL_MM, adc, is, workers);
        Measurement measurement = least.isPresent()
                ? new Measurement.Measured(least.getAsDouble())
                : new Measurement.NotMeasured("no ball of 5 mm radius lies wholly in " + where);
        String note = least.isPresent() ? "smallest mean over a ball of 5 mm radius that lies wholly in " + where : "";
        return new TruthRow("adc minimum region", aggregation, measurement, UNIT, note);
    }

    // Population moments: skewness m3 / m2^1.5, excess kurtosis m4 / m2² − 3.
    private static List<TruthRow> moments(double[] values, double mean) {
        double m2 = moment(values, mean, 2);
        double skewness = moment(values, mean, 3) / (m2 * Math.sqrt(m2));
        double kurtosis = moment(values, mean, 4) / (m2 * m2) - 3;
        String flat = "all of the lesion has one ADC";
        // rounding alone leaves a spread of about 1e-16 of the mean
        boolean isFlat = m2 <= 1e-24 * mean * mean;
        return List.of(
                new TruthRow(
                        "adc skewness",
                        "",
                        Measurement.of(isFlat ? Double.NaN : skewness, flat),
                        "1",
                        isFlat ? "" : "population moments"),
                new TruthRow(
                        "adc kurtosis",
                        "",
                        Measurement.of(isFlat ? Double.NaN : kurtosis, flat),
                        "1",
                        isFlat ? "" : "excess kurtosis, population moments"));
    }

    private static double moment(double[] values, double mean, int power) {
        double sum = 0;
        for (double v : values) {
            double d = v - mean;
            sum += power == 2 ? d * d : power == 3 ? d * d * d : d * d * d * d;
        }
        return sum / values.length;
    }

    /** Linear between order statistics, type 7. Source: Hyndman and Fan 1996, doi:10.1080/00031305.1996.10473566. */
    static double percentile(double[] sorted, double share) {
        double at = share * (sorted.length - 1);
        int low = (int) Math.floor(at);
        int high = Math.min(low + 1, sorted.length - 1);
        return sorted[low] + (at - low) * (sorted[high] - sorted[low]);
    }
}
