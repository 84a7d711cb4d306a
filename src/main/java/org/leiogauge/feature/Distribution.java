// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import org.leiogauge.image.Mask;
import org.leiogauge.table.Percentile;

/**
 * The values of a region in rising order, each with the number of voxels that have it: what the statistics of
 * intensities and of grey levels are worked out from.
 *
 * <p>Percentiles interpolate linearly between order statistics (type 7 of Hyndman and Fan 1996,
 * doi:10.1080/00031305.1996.10473566). Moments are those of the population. Cost: a count where the values are whole
 * numbers that lie close together, else a sort by digits.
 */
final class Distribution {
    private static final int MOST_COUNTERS = 1 << 17;

    private final double[] values;
    private final int[] counts;
    private final long size;
    private final double mean;

    private Distribution(double[] values, int[] counts) {
        this.values = values;
        this.counts = counts;
        long voxels = 0;
        double sum = 0;
        for (int i = 0; i < values.length; i++) {
            voxels += counts[i];
            sum += values[i] * counts[i];
        }
        this.size = voxels;
        // Without round-off where all values are one: the moments then are exactly 0, and what divides by them
        // undefined.
        this.mean = values.length == 1 ? values[0] : sum / voxels;
    }

    /** Of a region's intensities; the region has at least one voxel. */
    static Distribution of(Intensities intensities, Mask region) {
        float[] values = new float[region.count()];
        int[] size = {0};
        intensities.forEach(region, x -> values[size[0]++] = x);
        return of(values);
    }

    private static Distribution of(float[] values) {
        float low = Float.POSITIVE_INFINITY;
        float high = Float.NEGATIVE_INFINITY;
        boolean isWhole = true;
        for (float value : values) {
            low = Math.min(low, value);
            high = Math.max(high, value);
            isWhole &= value == (int) value;
        }
        if (isWhole && (double) high - low < MOST_COUNTERS) return ofWhole(values, (int) low, (int) high);
        Arrays.sort(values);
        int distinct = 1;
        for (int i = 1; i < values.length; i++) if (values[i] != values[i - 1]) distinct++;
        double[] sorted = new double[distinct];
        int[] counts = new int[distinct];
        int last = 0;
        sorted[0] = values[0];
        for (float value : values) {
            if (sorted[last] != value) sorted[++last] = value;
            counts[last]++;
        }
        return new Distribution(sorted, counts);
    }

    private static Distribution ofWhole(float[] values, int low, int high) {
        int[] counts = new int[high - low + 1];
        for (float value : values) counts[(int) value - low]++;
        return of(counts, low);
    }

    /** Of whole numbers from {@code low} on, with how often each occurs. */
    static Distribution of(int[] counts, int low) {
        int distinct = 0;
        for (int count : counts) if (count != 0) distinct++;
        double[] values = new double[distinct];
        int[] occurring = new int[distinct];
        int k = 0;
        for (int i = 0; i < counts.length; i++) {
            if (counts[i] == 0) continue;
            values[k] = low + i;
            occurring[k++] = counts[i];
        }
        return new Distribution(values, occurring);
    }

    double mean() {
        return mean;
    }

    double minimum() {
        return values[0];
    }

    double maximum() {
        return values[values.length - 1];
    }

    double range() {
        return maximum() - minimum();
    }

    /** Number of voxels with at least this value. */
    long atLeast(double value) {
        int from = Arrays.binarySearch(values, value);
        if (from < 0) from = -from - 1;
        long voxels = 0;
        for (int i = from; i < counts.length; i++) voxels += counts[i];
        return voxels;
    }

    long size() {
        return size;
    }

    /** 1/N Σ (x − μ)². */
    double variance() {
        return moment(2);
    }

    /** μ₃ / σ³. */
    double skewness() {
        return moment(3) / Math.pow(variance(), 1.5);
    }

    /** μ₄ / σ⁴ − 3. */
    double excessKurtosis() {
        return moment(4) / (variance() * variance()) - 3;
    }

    private double moment(int order) {
        double sum = 0;
        for (int i = 0; i < values.length; i++) {
            double d = values[i] - mean;
            double power = order == 2 ? d * d : order == 3 ? d * d * d : d * d * (d * d);
            sum += counts[i] * power;
        }
        return sum / size;
    }

    /** @param percent 0 to 100 */
    double percentile(double percent) {
        return Percentile.of(size, this::ordered, percent / 100);
    }

    private double ordered(long rank) {
        long upTo = 0;
        for (int i = 0; i < values.length; i++) {
            upTo += counts[i];
            if (rank < upTo) return values[i];
        }
        throw new IllegalStateException("no value of rank " + rank);
    }

    double median() {
        return percentile(50);
    }

    double interquartileRange() {
        return percentile(75) - percentile(25);
    }

    /** 1/N Σ |x − μ|. */
    double meanAbsoluteDeviation() {
        return deviationFrom(mean, minimum(), maximum());
    }

    /** 1/N Σ |x − median|. */
    double medianAbsoluteDeviation() {
        return deviationFrom(median(), minimum(), maximum());
    }

    /** The mean absolute deviation of the values from the 10th to the 90th percentile, both included. */
    double robustMeanAbsoluteDeviation() {
        double low = percentile(10);
        double high = percentile(90);
        double sum = 0;
        long voxels = 0;
        for (int i = 0; i < values.length; i++) {
            if (values[i] < low || values[i] > high) continue;
            sum += counts[i] * values[i];
            voxels += counts[i];
        }
        return deviationFrom(sum / voxels, low, high);
    }

    private double deviationFrom(double centre, double low, double high) {
        double sum = 0;
        long voxels = 0;
        for (int i = 0; i < values.length; i++) {
            if (values[i] < low || values[i] > high) continue;
            sum += counts[i] * Math.abs(values[i] - centre);
            voxels += counts[i];
        }
        return sum / voxels;
    }

    /** σ / μ. */
    double coefficientOfVariation() {
        return Math.sqrt(variance()) / mean;
    }

    /** (P₇₅ − P₂₅) / (P₇₅ + P₂₅). */
    double quartileCoefficientOfDispersion() {
        return interquartileRange() / (percentile(75) + percentile(25));
    }

    /** Σ x². */
    double energy() {
        double sum = 0;
        for (int i = 0; i < values.length; i++) sum += counts[i] * (values[i] * values[i]);
        return sum;
    }

    /** √(1/N Σ x²). */
    double rootMeanSquare() {
        return Math.sqrt(energy() / size);
    }

    /** −Σ p log₂ p. */
    double entropy() {
        double sum = 0;
        for (int count : counts) sum -= (double) count / size * log2((double) count / size);
        return sum;
    }

    /** Σ p². */
    double uniformity() {
        double sum = 0;
        for (int count : counts) sum += ((double) count / size) * ((double) count / size);
        return sum;
    }

    static double log2(double x) {
        return Math.log(x) / Math.log(2);
    }
}
