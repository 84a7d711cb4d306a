// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings;
import org.leiogauge.feature.StandardFeatures;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The standard's filters on the CT phantom: those configurations whose agreed values lie beside the checkout. */
public final class FilteredPhantom {
    private static final Boundary MIRROR = Boundary.MIRROR;
    private static final Optional<Pooling> MAX = Optional.of(Pooling.MAX);
    private static final Optional<Pooling> MEAN = Optional.of(Pooling.MEAN);

    private static final Map<String, Filter> FILTERS = Map.ofEntries(
            Map.entry("2.A", new Mean(2, 5, MIRROR)),
            Map.entry("3.B", new LaplacianOfGaussian(3, 1.5, 4, MIRROR)),
            Map.entry("4.A", new Laws("L5E5", MAX, OptionalInt.of(7), MIRROR)),
            Map.entry("4.B", new Laws("L5E5E5", MAX, OptionalInt.of(7), MIRROR)),
            Map.entry("5.A", new Gabor(2, 5, 2, 1.5, new Gabor.Angles.Turn(22.5), Pooling.MEAN, MIRROR)),
            Map.entry("6.A", new Wavelet(Wavelet.Family.DAUBECHIES_3, "LH", 1, MEAN, MIRROR)),
            Map.entry("7.B", new Wavelet(Wavelet.Family.DAUBECHIES_3, "HHH", 2, MEAN, MIRROR)),
            Map.entry("8.A", new Simoncelli(2, 1)),
            Map.entry("8.B", new Simoncelli(3, 1)),
            Map.entry("9.A", new Simoncelli(2, 2)));

    private FilteredPhantom() {}

    /**
     * The 18 statistics, in the standard's order.
     *
     * @param id as {@code 4.A}; of {@code 1.A} and {@code 1.B} the image itself
     */
    public static List<FeatureValue> statistics(String id, Volume image, Mask mask, Workers workers) {
        boolean inSlices = id.endsWith("A");
        Settings settings = new Settings(
                inSlices ? 2 : 3,
                new Settings.Resegment(Optional.of(new Settings.Range(-1000, 400)), OptionalDouble.empty()),
                inSlices
                        ? Optional.empty()
                        : Optional.of(new Settings.Resample(
                                new Spacing(1, 1, 1), Settings.ImageKernel.CUBIC, Settings.MaskKernel.LINEAR, true)),
                new Settings.Discretise.FixedNumber(32),
                new Settings.IntensityVolume.None(),
                new Settings.Texture(1, 0),
                List.of(Family.INTENSITY));
        return StandardFeatures.measure(
                image, mask, settings, Optional.ofNullable(FILTERS.get(id)), workers, Progress.NONE);
    }
}
