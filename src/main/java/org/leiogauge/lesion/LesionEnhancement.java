// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Workers;

/**
 * What the lesion's signal does after contrast: how much, how early, how long, how evenly, and where not at all.
 *
 * <p>Relative enhancement, time course and slopes are those of the mean signal, without the
 * tissue outside that border voxels hold ({@link UnmixedMean}); heterogeneity, curve shapes and what does
 * not enhance are counted voxel by voxel. Each value's formula stands in {@link LesionDefinitions}. Cost: a few passes over
 * the lesion's box; the maps are made once, by {@link Enhancement#measure}, over a region that holds every outline to be
 * measured and some 8 mm more: a voxel at the lesion's border that is partly enhancing tissue outside can then be told from
 * viable lesion.
 */
public final class LesionEnhancement {
    private static final String ONE_PHASE = "one phase after contrast: there is no time course";

    private LesionEnhancement() {}

    /**
     * @param earlySeconds a phase up to this time counts as early
     * @param initialSeconds the curve's initial part ends here
     * @param curvePercent change of signal from the initial part to the last phase that parts the curve shapes
     * @param noise standard deviation of the noise of one image, in its unit; 0: not known, not taken off
     */
    public record Settings(double earlySeconds, double initialSeconds, double curvePercent, double noise) {
        public Settings {
            if (!(earlySeconds > 0 && initialSeconds > 0 && curvePercent > 0))
                throw new IllegalArgumentException("times and curvePercent must be > 0, got " + earlySeconds + ", "
                        + initialSeconds + ", " + curvePercent);
            if (!(noise >= 0)) throw new IllegalArgumentException("noise must be 0 or more, got " + noise);
        }

        /** Early as in Goto et al. 2002; the rest common practice, no source. */
        public static Settings standard() {
            return new Settings(60, 120, 10, 0);
        }

        public Settings withNoise(double sigma) {
            return new Settings(earlySeconds, initialSeconds, curvePercent, sigma);
        }
    }

    /**
     * A phase after contrast and its reference tissues.
     *
     * @param references measured on this phase's image; a tissue without a region is absent
     */
    public record Reading(Phase phase, Map<Tissue, Reference> references) {
        public Reading {
            references = Map.copyOf(references);
        }
    }

    /**
     * The series before and after contrast, aligned.
     *
     * @param preReferences reference tissues measured on the image before contrast
     * @param phases in the order of time
     * @param maps of the same images, over a region that holds the lesion
     */
    public record Images(
            Volume pre, Map<Tissue, Reference> preReferences, List<Reading> phases, Enhancement.Maps maps) {
        public Images {
            preReferences = Map.copyOf(preReferences);
            phases = List.copyOf(phases);
            if (phases.isEmpty()) throw new IllegalArgumentException("phases must hold one, got none");
            for (int i = 1; i < phases.size(); i++)
                if (phases.get(i).phase().timeSeconds()
                        <= phases.get(i - 1).phase().timeSeconds())
                    throw new IllegalArgumentException("phases must be in the order of time, got "
                            + phases.get(i - 1).phase().timeSeconds() + " s before "
                            + phases.get(i).phase().timeSeconds() + " s");
            if (maps.relative().size() != phases.size())
                throw new IllegalArgumentException(
                        "maps must be of the phases, got " + maps.relative().size() + " for " + phases.size());
        }

        /** Phases of half the last one's time or later, over which the rise is averaged. */
        long latePhases() {
            return phases.stream()
                    .filter(p -> p.phase().timeSeconds() >= time(last()) / 2)
                    .count();
        }

        private double time(int phase) {
            return phases.get(phase).phase().timeSeconds();
        }

        private int last() {
            return phases.size() - 1;
        }
    }

    /** All values, in the order of {@link LesionDefinitions#enhancement}; relative enhancement has one per phase. */
    public static List<LesionValue> measure(Images images, Mask lesion, Settings settings, Workers workers) {
        if (!lesion.grid().size().equals(images.pre.grid().size()))
            throw new IllegalArgumentException("lesion must have the images' size "
                    + images.pre.grid().size() + ", got " + lesion.grid().size());
        List<LesionValue> values = new ArrayList<>(nonEnhancing(images, lesion, settings, workers));
        MeanCurve curve = MeanCurve.of(images, lesion);
        for (int p = 0; p < images.phases.size(); p++)
            values.add(new LesionValue(
                    new FeatureValue(
                            LesionDefinitions.RELATIVE_ENHANCEMENT,
                            new Aggregation(seconds(images.time(p)), ""),
                            curve.percent(p)),
                    ""));
        values.add(LesionValue.of(LesionDefinitions.EARLY_RATIO, early(images, curve, settings.earlySeconds())));
        values.addAll(course(images, curve));
        values.addAll(CurveShapes.measure(images, lesion, settings));
        values.add(LesionValue.of(
                LesionDefinitions.ENHANCEMENT_HETEROGENEITY, heterogeneity(images, within(lesion), settings.noise())));
        return values;
    }

    /** As the table names a phase: {@code 30 s}. */
    static String seconds(double time) {
        return (time == Math.rint(time) ? Long.toString((long) time) : Double.toString(time)) + " s";
    }

    private static List<LesionValue> nonEnhancing(Images images, Mask lesion, Settings settings, Workers workers) {
        String caution = images.time(images.last()) <= settings.earlySeconds()
                ? "the last phase is as early as " + seconds(images.time(images.last()))
                        + ": slow tissue counts as non-enhancing"
                : "";
        List<LesionValue> values = new ArrayList<>();
        values.add(LesionValue.of(LesionDefinitions.NON_ENHANCING_FRACTION, nonEnhancingFraction(images.maps, lesion)));
        values.add(share(LesionDefinitions.NON_ENHANCING_BY_PERCENT, images.maps.nonEnhancingByPercent(), lesion));
        values.addAll(NonEnhancingPocket.measure(images.maps, lesion, workers));
        return values.stream().map(value -> value.with(caution)).toList();
    }

    // A voxel at the lesion's own border holds tissue outside: it counts as a whole.
    private static Measurement nonEnhancingFraction(Enhancement.Maps maps, Mask lesion) {
        Mask inner = WhollyInside.of(lesion, false);
        double sum = 0;
        for (int i = 0; i < lesion.voxels().length; i++)
            if (lesion.voxels()[i] != 0)
                sum += inner.voxels()[i] != 0
                        ? maps.nonEnhancingShare().voxels()[i]
                        : maps.nonEnhancing().voxels()[i];
        return Measurement.of(Math.max(0, Math.min(1, sum / lesion.count())), "the lesion has no voxel");
    }

    private static LesionValue share(Definition definition, Mask part, Mask lesion) {
        byte[] inside = lesion.voxels();
        byte[] wanted = part.voxels();
        long found = 0;
        for (int i = 0; i < inside.length; i++) found += inside[i] & wanted[i];
        return LesionValue.of(definition, Measurement.of((double) found / lesion.count(), "the lesion has no voxel"));
    }

    private static Measurement early(Images images, MeanCurve curve, double until) {
        int phase = -1;
        for (int p = 0; p < images.phases.size(); p++) if (images.time(p) <= until) phase = p;
        if (phase < 0)
            return new NotMeasured("no phase up to " + seconds(until) + ", the first is at " + seconds(images.time(0)));
        ReferenceSignal before = ReferenceSignal.of(images.preReferences, Tissue.MYOMETRIUM);
        ReferenceSignal after = ReferenceSignal.of(images.phases.get(phase).references(), Tissue.MYOMETRIUM);
        Optional<String> missing = before.missing().or(after::missing);
        if (missing.isPresent()) return new NotMeasured(missing.get());
        double reference = 100 * (after.signal() - before.signal()) / before.signal();
        if (!(reference > 0)) return new NotMeasured("the myometrium's signal does not rise in the early phase");
        Measurement lesion = curve.percent(phase);
        return lesion.number().isEmpty()
                ? lesion
                : Measurement.of(lesion.number().getAsDouble() / reference, "the ratio is not finite");
    }

    private static List<LesionValue> course(Images images, MeanCurve curve) {
        List<Definition> wanted =
                List.of(LesionDefinitions.TIME_TO_PEAK, LesionDefinitions.WASH_IN, LesionDefinitions.WASH_OUT);
        String reason = curve.isDefined() ? ONE_PHASE : MeanCurve.UNDEFINED;
        if (images.phases.size() == 1 || !curve.isDefined())
            return wanted.stream()
                    .map(definition -> LesionValue.of(definition, new NotMeasured(reason)))
                    .toList();
        int peak = 0;
        double steepest = Double.NEGATIVE_INFINITY;
        for (int p = 0; p < images.phases.size(); p++) {
            if (curve.value(p) > curve.value(peak)) peak = p;
            double from = p == 0 ? 0 : curve.value(p - 1);
            double since = p == 0 ? 0 : images.time(p - 1);
            steepest = Math.max(steepest, (curve.value(p) - from) / (images.time(p) - since));
        }
        int last = images.last();
        double fall =
                peak == last ? 0 : (curve.value(last) - curve.value(peak)) / (images.time(last) - images.time(peak));
        String caution =
                curve.value(peak) > 0 ? "" : "the mean signal does not rise after contrast: its course is chance";
        return List.of(
                LesionValue.of(LesionDefinitions.TIME_TO_PEAK, new Measurement.Measured(images.time(peak)))
                        .with(caution),
                LesionValue.of(LesionDefinitions.WASH_IN, new Measurement.Measured(steepest))
                        .with(caution),
                LesionValue.of(LesionDefinitions.WASH_OUT, new Measurement.Measured(fall))
                        .with(caution));
    }

    // Voxels at the lesion's border in the slice hold tissue outside, which would add to the spread.
    private static Mask within(Mask lesion) {
        Mask inner = WhollyInside.of(lesion, true);
        return WhollyInside.isEnough(inner, lesion) ? inner : lesion;
    }

    // Variance of E from the noise of both images, first order: (100 / S0)² σ² (1 + (S_t / S0)²).
    private static Measurement heterogeneity(Images images, Mask lesion, double noise) {
        float[] relative = images.maps.relative().get(images.last()).voxels();
        float[] pre = images.pre.voxels();
        double sum = 0;
        double squares = 0;
        double chance = 0;
        int n = 0;
        for (int i = 0; i < relative.length; i++) {
            if (lesion.voxels()[i] == 0 || Float.isNaN(relative[i])) continue;
            double e = relative[i];
            double share = noise / pre[i];
            sum += e;
            squares += e * e;
            chance += 1e4 * share * share * (1 + (1 + e / 100) * (1 + e / 100));
            n++;
        }
        if (n < 2) return new NotMeasured("fewer than 2 voxels with a relative enhancement");
        double mean = sum / n;
        if (!(mean > 0)) return new NotMeasured("the mean relative enhancement in the last phase is not above 0");
        return Measurement.of(
                Math.sqrt(Math.max(0, squares / n - mean * mean - chance / n)) / mean, "the ratio is not finite");
    }

    /** The mean signal's relative enhancement, over voxels with a signal in every image, without what lies outside. */
    private record MeanCurve(List<Double> percents) {
        static final String UNDEFINED = "the lesion's mean signal before contrast is not above 0";

        static MeanCurve of(Images images, Mask lesion) {
            Volume valued = valued(images);
            UnmixedMean mean = UnmixedMean.over(lesion);
            double before = mean.of(images.pre, valued);
            if (!(before > 0)) return new MeanCurve(List.of());
            return new MeanCurve(images.phases.stream()
                    .map(reading -> 100 * (mean.of(reading.phase().image(), valued) - before) / before)
                    .toList());
        }

        // NaN where one of the images has no value.
        private static Volume valued(Images images) {
            float[] sum = images.pre.voxels().clone();
            for (Reading reading : images.phases)
                for (int i = 0; i < sum.length; i++)
                    sum[i] += reading.phase().image().voxels()[i];
            return new Volume(images.pre.grid(), sum);
        }

        boolean isDefined() {
            return !percents.isEmpty();
        }

        double value(int phase) {
            return percents.get(phase);
        }

        Measurement percent(int phase) {
            return isDefined() ? Measurement.of(value(phase), UNDEFINED) : new NotMeasured(UNDEFINED);
        }
    }
}
