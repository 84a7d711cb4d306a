// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * All features of the standard, of one region of one image.
 *
 * <p>Values come in the order of {@link Family}, in it in the order of {@link Aggregations#of}, in it in that of
 * {@link Definitions}. A feature that is undefined on the region is not measured, with the reason; a mean over slices or
 * directions leaves out those in which the feature is undefined. Cost: linear in the voxels of the region's bounding box,
 * but for what {@link Shape} says.
 *
 * <p>Source: IBSI reference manual, arXiv:1612.07003.
 */
public final class StandardFeatures {
    private static final double PREPARED = 0.3;
    private static final String EMPTY = "no voxel belongs to the region, or none after interpolation";
    private static final String NOTHING_LEFT = "no voxel is left after re-segmentation";

    private StandardFeatures() {}

    /**
     * Measures the families that the settings name.
     *
     * @throws IllegalArgumentException if image and mask lie on different grids, or the settings don't suit the image: 2-D
     *     features of slices that aren't axial, bins that begin above the lowest intensity, too many grey levels
     */
    public static List<FeatureValue> measure(
            Volume image, Mask mask, Settings settings, Workers workers, Progress progress) {
        return measure(image, mask, settings, Optional.empty(), workers, progress);
    }

    /** The same of a filter's response to the whole image, after interpolation and re-segmentation by the image itself. */
    public static List<FeatureValue> measure(
            Volume image,
            Mask mask,
            Settings settings,
            Optional<? extends ImageFilter> filter,
            Workers workers,
            Progress progress) {
        Optional<PreparedRegion> region =
                PreparedRegion.of(image, mask, settings, filter, workers, progress.part(0, PREPARED));
        // The range is one of the image's intensities: for a response it has no meaning.
        Settings after = filter.isPresent() ? settings.withoutResegmentation() : settings;
        List<FeatureValue> values = region.isEmpty()
                ? notMeasured(settings)
                : measure(region.get(), after, workers, progress.part(PREPARED, 1));
        progress.at(1);
        return values;
    }

    /** Measures a region that is prepared already, with the same settings. */
    public static List<FeatureValue> measure(
            PreparedRegion region, Settings settings, Workers workers, Progress progress) {
        Set<Family> wanted = new TreeSet<>(settings.families());
        List<Job> jobs = Job.ALL.stream()
                .filter(job -> job.families.stream().anyMatch(wanted::contains))
                .toList();
        AtomicInteger done = new AtomicInteger();
        List<Map<Family, List<FeatureValue>>> results = workers.map(jobs.size(), k -> {
            Map<Family, List<FeatureValue>> result = run(jobs.get(k), region, settings);
            progress.at((double) done.incrementAndGet() / jobs.size());
            return result;
        });
        Map<Family, List<FeatureValue>> all = new EnumMap<>(Family.class);
        for (Map<Family, List<FeatureValue>> result : results)
            result.forEach((family, values) -> all.merge(family, values, StandardFeatures::joined));
        return wanted.stream().flatMap(family -> all.get(family).stream()).toList();
    }

    /** Families that share work and are measured together; the longest first, so that two threads end together. */
    private record Job(Set<Family> families, Measure measure) {
        static final List<Job> ALL = List.of(
                new Job(Set.of(Family.SHAPE), (region, settings) -> Map.of(Family.SHAPE, Shape.measure(region))),
                new Job(
                        Set.of(Family.SHAPE),
                        (region, settings) -> Map.of(Family.SHAPE, SpatialCorrelation.measure(region))),
                new Job(
                        Set.of(Family.LOCAL_INTENSITY),
                        (region, settings) -> Map.of(Family.LOCAL_INTENSITY, LocalIntensity.measure(region))),
                new Job(Set.of(Family.GLSZM, Family.GLDZM), (region, settings) -> zones(region, settings)),
                new Job(
                        Set.of(Family.GLRLM),
                        (region, settings) -> Map.of(Family.GLRLM, Glrlm.measure(levels(region), settings))),
                new Job(
                        Set.of(Family.GLCM),
                        (region, settings) -> Map.of(Family.GLCM, Glcm.measure(levels(region), settings))),
                new Job(Set.of(Family.NGTDM, Family.NGLDM), (region, settings) -> neighbours(region, settings)),
                new Job(
                        Set.of(Family.INTENSITY, Family.HISTOGRAM, Family.INTENSITY_VOLUME),
                        (region, settings) -> distribution(region, settings)));
    }

    @FunctionalInterface
    private interface Measure {
        Map<Family, List<FeatureValue>> of(PreparedRegion region, Settings settings);
    }

    private static Map<Family, List<FeatureValue>> run(Job job, PreparedRegion region, Settings settings) {
        if (region.levels().isPresent() || job.families.contains(Family.SHAPE)) return job.measure.of(region, settings);
        Map<Family, List<FeatureValue>> none = new EnumMap<>(Family.class);
        for (Family family : job.families) none.put(family, notMeasured(family, settings, NOTHING_LEFT));
        return none;
    }

    private static List<FeatureValue> joined(List<FeatureValue> first, List<FeatureValue> second) {
        return Stream.concat(first.stream(), second.stream()).toList();
    }

    private static Levels levels(PreparedRegion region) {
        return region.levels().orElseThrow(IllegalStateException::new);
    }

    private static Map<Family, List<FeatureValue>> zones(PreparedRegion region, Settings settings) {
        List<Zones> zones = Zones.of(levels(region), region.morphological(), settings.dimensions());
        return Map.of(
                Family.GLSZM, Glszm.measure(zones, settings),
                Family.GLDZM, Gldzm.measure(zones, settings));
    }

    private static Map<Family, List<FeatureValue>> neighbours(PreparedRegion region, Settings settings) {
        List<Neighbours> both = Neighbours.of(levels(region), settings.texture(), settings.dimensions());
        return Map.of(
                Family.NGTDM,
                Ngtdm.measure(both.stream().map(Neighbours::tones).toList(), settings),
                Family.NGLDM,
                Ngldm.measure(both.stream().map(Neighbours::dependence).toList(), settings));
    }

    private static Map<Family, List<FeatureValue>> distribution(PreparedRegion region, Settings settings) {
        Distribution intensities = Distribution.of(region.values(), region.intensity());
        return Map.of(
                Family.INTENSITY, IntensityStatistics.measure(intensities),
                Family.HISTOGRAM, IntensityHistogram.measure(levels(region)),
                Family.INTENSITY_VOLUME, intensityVolume(region, intensities, settings));
    }

    // Its settings may not suit the image: that must not stop who didn't ask for it.
    private static List<FeatureValue> intensityVolume(
            PreparedRegion region, Distribution intensities, Settings settings) {
        return settings.families().contains(Family.INTENSITY_VOLUME)
                ? IntensityVolumeHistogram.measure(region, intensities, settings)
                : List.of();
    }

    private static List<FeatureValue> notMeasured(Settings settings) {
        return new TreeSet<>(settings.families())
                .stream()
                        .flatMap(family -> notMeasured(family, settings, EMPTY).stream())
                        .toList();
    }

    private static List<FeatureValue> notMeasured(Family family, Settings settings, String reason) {
        List<FeatureValue> values = new ArrayList<>();
        for (Aggregation aggregation : Aggregations.of(family, settings.dimensions()))
            for (Feature<?> feature : Definitions.features(family))
                values.add(new FeatureValue(feature.definition(), aggregation, new Measurement.NotMeasured(reason)));
        return values;
    }
}
