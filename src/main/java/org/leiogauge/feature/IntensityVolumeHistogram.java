// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.Optional;
import java.util.function.ToDoubleFunction;
import org.leiogauge.image.Mask;
import org.leiogauge.table.FeatureValue;

/**
 * The intensity-volume histogram family: which fraction of the region has at least an intensity.
 *
 * <p>Letters: grid intensities x₁ &lt; … &lt; x_n at equal steps; ν(k) fraction of the voxels with at least x_k;
 * γ(k) = (x_k − x₁) / (x_n − x₁). Grid: in steps of 1 as the image is; the bins' centres for a fixed width; 1, 2, … for a
 * fixed number. It runs from the lower to the upper end of the re-segmentation range where there is one, else from the
 * lowest to the highest intensity; a fixed number of bins always lies over the latter.
 *
 * <p>Source: IBSI reference manual, intensity-volume histogram features (P88C).
 */
final class IntensityVolumeHistogram {
    // The share of a step by which round-off may miss a whole number of them.
    private static final double GUARD = 1e-9;
    private static final int MOST_STEPS = 100_000_000;

    static final List<Feature<IntensityVolumeHistogram>> FEATURES = List.of(
            of(
                    "volume fraction at 10% intensity",
                    "BC2M",
                    "Fraction of the region with at least the lowest grid intensity that lies 10 % up the intensity range",
                    h -> h.volumeAt(0.1)),
            of(
                    "volume fraction at 90% intensity",
                    "BC2M",
                    "Fraction of the region with at least the lowest grid intensity that lies 90 % up the intensity range",
                    h -> h.volumeAt(0.9)),
            of(
                    "intensity at 10% volume",
                    "GBPN", "Lowest grid intensity that at most 10 % of the region reaches", h -> h.intensityAt(0.1)),
            of(
                    "intensity at 90% volume",
                    "GBPN", "Lowest grid intensity that at most 90 % of the region reaches", h -> h.intensityAt(0.9)),
            of(
                    "volume fraction difference between intensity fractions",
                    "DDTU",
                    "Volume fraction at 10 % less that at 90 % intensity",
                    h -> h.volumeAt(0.1) - h.volumeAt(0.9)),
            of(
                    "intensity fraction difference between volume fractions",
                    "CNV2",
                    "Intensity at 10 % less that at 90 % volume",
                    h -> h.intensityAt(0.1) - h.intensityAt(0.9)),
            of(
                    "area under the ivh curve",
                    "9CMM",
                    "Integral of the volume fraction over the intensity fraction, by the trapezoidal rule",
                    IntensityVolumeHistogram::area));

    private final double first;
    private final double step;
    private final double[] fraction;

    private IntensityVolumeHistogram(double first, double step, double[] fraction) {
        this.first = first;
        this.step = step;
        this.fraction = fraction;
    }

    static List<FeatureValue> measure(PreparedRegion region, Distribution intensities, Settings settings) {
        return Feature.of(FEATURES, of(region, intensities, settings), Aggregations.VOLUME);
    }

    private static IntensityVolumeHistogram of(PreparedRegion region, Distribution intensities, Settings settings) {
        Optional<Settings.Range> range = settings.resegment().range();
        double low = range.map(Settings.Range::low).filter(Double::isFinite).orElse(intensities.minimum());
        double high = range.map(Settings.Range::high).filter(Double::isFinite).orElse(intensities.maximum());
        Intensities values = region.values();
        Mask mask = region.intensity();
        if (settings.intensityVolume() instanceof Settings.IntensityVolume.FixedNumber fixed) {
            Levels.Bins bins = Levels.Bins.of(
                    new Settings.Discretise.FixedNumber(fixed.bins()), intensities.minimum(), intensities.maximum());
            return binned(values, mask, bins, 1, 1);
        }
        if (settings.intensityVolume() instanceof Settings.IntensityVolume.FixedWidth fixed) {
            requireOrigin(fixed.origin(), intensities.minimum());
            int count = steps((high - fixed.origin()) / fixed.width() - GUARD);
            Levels.Bins bins = Levels.Bins.ofWidth(fixed.origin(), fixed.width(), count);
            return binned(values, mask, bins, fixed.origin() + fixed.width() / 2, fixed.width());
        }
        return asIs(values, mask, low, steps(high - low + GUARD));
    }

    private static void requireOrigin(double origin, double lowest) {
        if (lowest < origin)
            throw new IllegalArgumentException("origin of the intensity-volume histogram must be at most the region's"
                    + " lowest intensity, " + lowest + ", got " + origin);
    }

    private static int steps(double span) {
        if (span >= MOST_STEPS)
            throw new IllegalArgumentException("intensity-volume histogram must have fewer than " + MOST_STEPS
                    + " steps, got " + span + ": choose fixed-number or a larger width");
        return (int) Math.floor(span) + 1;
    }

    private static IntensityVolumeHistogram binned(
            Intensities values, Mask mask, Levels.Bins bins, double first, double step) {
        int[] counts = new int[bins.count()];
        values.forEach(mask, x -> counts[bins.level(x) - 1]++);
        return of(counts, mask.count(), first, step);
    }

    // A voxel counts at every grid intensity up to its own.
    private static IntensityVolumeHistogram asIs(Intensities values, Mask mask, double low, int count) {
        int[] counts = new int[count];
        values.forEach(mask, x -> counts[Math.min(count - 1, (int) Math.floor(x - low + GUARD))]++);
        return of(counts, mask.count(), low, 1);
    }

    private static IntensityVolumeHistogram of(int[] counts, int voxels, double first, double step) {
        double[] fraction = new double[counts.length];
        int atLeast = voxels;
        for (int k = 0; k < counts.length; k++) {
            fraction[k] = (double) atLeast / voxels;
            atLeast -= counts[k];
        }
        return new IntensityVolumeHistogram(first, step, fraction);
    }

    private double volumeAt(double intensityFraction) {
        int last = fraction.length - 1;
        if (last == 0) return Double.NaN;
        return fraction[(int) Math.ceil(intensityFraction * last - GUARD)];
    }

    private double intensityAt(double volumeFraction) {
        if (fraction.length == 1) return Double.NaN;
        int k = 0;
        while (k < fraction.length && fraction[k] > volumeFraction) k++;
        return first + k * step;
    }

    private double area() {
        int last = fraction.length - 1;
        double sum = 0;
        for (int k = 0; k < last; k++) sum += (fraction[k] + fraction[k + 1]) / 2;
        return sum / last;
    }

    private static Feature<IntensityVolumeHistogram> of(
            String name, String code, String meaning, ToDoubleFunction<IntensityVolumeHistogram> formula) {
        return Feature.of(
                Family.INTENSITY_VOLUME, name, code, "1", meaning, "the histogram has only one intensity", formula);
    }
}
