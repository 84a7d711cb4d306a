// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.apache.commons.math3.special.Erf;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionImages.Contrast;
import org.leiogauge.lesion.LesionImages.Diffusion;
import org.leiogauge.lesion.LesionImages.Masks;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.NoiseLevel;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Percentile;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The parts of a lesion, each with its volume and how sure it is, found by rule on the series that shows it: enhancing and
 * non-enhancing, which together are the lesion, and within them haemorrhagic, cystic and restricted, which may overlap.
 *
 * <p>Non-enhancing: {@link Enhancement} tells it from noise. Haemorrhagic: {@link T1Blood}. Cystic: as bright as fluid on T2
 * ({@link T2Signal}) and, where that is known, not enhancing. Restricted: ADC under the settings' cut-off, in tissue that
 * neither is bright on T1 nor known not to enhance.
 *
 * <p>Confidence: the mean over the part's voxels of the probability Φ(m / σ) that noise alone did not put them there, m
 * how far the voxel's value lies on the part's side of the limit, σ the noise of that value. Limits: half the enhancing
 * tissue's median rise; half-way between bright part and rest; the ADC's cut-off. 0.5 where the noise is not known.
 *
 * <p>Source: common practice, no source. Mixtures of normal distributions over all series, smoothed over neighbours, were
 * tried and left out: on the synthetic lesions their volumes were several times farther from the truth than these.
 *
 * @param t2Bright what is bright on T2, fluid or not; no part of its own
 */
public record LesionParts(List<Part> parts, Optional<Mask> t2Bright) {
    private static final double OF_CONTRAST = 2;

    public LesionParts {
        parts = List.copyOf(parts);
    }

    public enum Kind {
        ENHANCING,
        NON_ENHANCING,
        HAEMORRHAGIC,
        CYSTIC,
        RESTRICTED;

        /** As the table names it. */
        public String words() {
            return name().toLowerCase(Locale.ROOT).replace('_', '-');
        }
    }

    /**
     * One part.
     *
     * @param series the key of the one it was found on
     * @param mask on that series' grid, in the outline's patient space
     * @param volume in mm³; the table's, which knows of mixed voxels
     * @param confidence 0 to 1
     */
    public record Part(Kind kind, String series, Mask mask, double volume, double confidence) {
        /** The table's value. */
        public PlacedValue value() {
            return new PlacedValue(
                    series,
                    new LesionValue(
                            new FeatureValue(
                                    LesionDefinitions.PART_CONFIDENCE,
                                    new Aggregation(kind.words(), ""),
                                    new Measured(confidence)),
                            ""));
        }
    }

    /** A part's voxels and how sure they are. */
    private record Found(Mask mask, double confidence) {}

    /**
     * The parts that hold a voxel.
     *
     * @param values the lesion's, which hold the parts' volumes
     */
    public static LesionParts of(
            LesionImages images, Masks masks, List<PlacedValue> values, LesionSettings settings, Workers workers) {
        Optional<BrightPart> blood = images.t1().flatMap(t1 -> masks.t1()
                .flatMap(lesion -> T1Blood.brightPart(t1.image(), lesion, t1.references(), settings.t1())));
        List<Part> parts = new ArrayList<>();
        for (Kind kind : Kind.values()) {
            Optional<PlacedValue> volume = values.stream()
                    .filter(v -> v.value().value().definition().equals(LesionDefinitions.PART_VOLUME))
                    .filter(v -> v.value().value().aggregation().name().equals(kind.words()))
                    .findFirst();
            if (volume.isEmpty()
                    || !(volume.get().value().value().measurement().number().orElse(0) > 0)) continue;
            double mm3 = volume.get().value().value().measurement().number().getAsDouble();
            String series = volume.get().series();
            found(kind, images, masks, blood, settings, workers)
                    .filter(part -> !part.mask().isEmpty())
                    .ifPresent(part -> parts.add(new Part(kind, series, part.mask(), mm3, part.confidence())));
        }
        return new LesionParts(parts, images.t2().flatMap(t2 -> masks.t2()
                .flatMap(lesion -> T2Signal.brightPart(t2.image(), lesion, t2.references(), settings.t2()))));
    }

    /** The part of a kind, if there is such tissue. */
    public Optional<Part> of(Kind kind) {
        return parts.stream().filter(part -> part.kind() == kind).findFirst();
    }

    private static Optional<Found> found(
            Kind kind,
            LesionImages images,
            Masks masks,
            Optional<BrightPart> blood,
            LesionSettings settings,
            Workers workers) {
        return switch (kind) {
            case ENHANCING ->
                images.contrast().flatMap(c -> masks.contrast().map(lesion -> enhancing(c, lesion, true)));
            case NON_ENHANCING ->
                images.contrast().flatMap(c -> masks.contrast().map(lesion -> enhancing(c, lesion, false)));
            case HAEMORRHAGIC ->
                blood.map(part ->
                        bright(images.t1().orElseThrow().image(), masks.t1().orElseThrow(), part.mask(), part.half()));
            case CYSTIC ->
                images.t2().flatMap(t2 -> masks.t2().flatMap(lesion -> T2Signal.fluidPart(
                                t2.image(), lesion, t2.references(), settings.t2())
                        .map(part -> bright(
                                t2.image(), lesion, withoutEnhancing(part.mask(), images, workers), part.half()))));
            case RESTRICTED ->
                images.diffusion().flatMap(d -> masks.diffusion().map(lesion -> {
                    Mask dead = dead(images, blood.map(BrightPart::mask), lesion, workers);
                    Mask part = restricted(d, lesion, dead, settings.diffusion());
                    return low(d, part, settings.diffusion().restricted());
                }));
        };
    }

    /** Fluid that is not known to enhance. */
    static Mask withoutEnhancing(Mask fluid, LesionImages images, Workers workers) {
        if (images.contrast().isEmpty()) return fluid;
        return both(fluid, on(images.contrast().get().images().maps().nonEnhancing(), fluid, workers));
    }

    /** Voxels under the cut-off, as the restricted fraction counts them, outside what is dead. */
    static Mask restricted(Diffusion diffusion, Mask lesion, Mask dead, LesionDiffusion.Settings settings) {
        Optional<Volume> known = settings.withoutNoise() ? diffusion.noise() : Optional.empty();
        Mask valued = SignalIn.valued(diffusion.adc(), lesion);
        float[] sample = AdcSample.of(diffusion.adc(), known, lesion, settings.withoutBorder());
        byte[] part = new byte[valued.voxels().length];
        int n = 0;
        for (int i = 0; i < part.length; i++)
            if (valued.voxels()[i] != 0)
                part[i] = (byte) (sample[n++] < settings.restricted() && dead.voxels()[i] == 0 ? 1 : 0);
        return new Mask(lesion.grid(), part);
    }

    /** Necrosis and blood in the lesion, as far as the other series show them. */
    static Mask dead(LesionImages images, Optional<Mask> blood, Mask lesion, Workers workers) {
        List<Mask> all = new ArrayList<>();
        images.contrast().ifPresent(c -> all.add(c.images().maps().nonEnhancing()));
        blood.ifPresent(all::add);
        byte[] dead = new byte[lesion.voxels().length];
        for (Mask one : all) {
            byte[] here = both(lesion, on(one, lesion, workers)).voxels();
            for (int i = 0; i < dead.length; i++) dead[i] |= here[i];
        }
        return new Mask(lesion.grid(), dead);
    }

    private static Mask on(Mask part, Mask like, Workers workers) {
        return new Mask(
                like.grid(),
                Resampling.onto(part, like.grid(), Resampling.Kernel.LINEAR, workers, Progress.NONE)
                        .voxels());
    }

    private static Mask both(Mask one, Mask other) {
        byte[] both = one.voxels().clone();
        for (int i = 0; i < both.length; i++) both[i] &= other.voxels()[i];
        return new Mask(one.grid(), both);
    }

    private static Mask but(Mask one, Mask other) {
        byte[] left = one.voxels().clone();
        for (int i = 0; i < left.length; i++) left[i] &= (byte) (1 - other.voxels()[i]);
        return new Mask(one.grid(), left);
    }

    private static Found enhancing(Contrast contrast, Mask lesion, boolean wanted) {
        Enhancement.Maps maps = contrast.images().maps();
        Mask core = new Mask(lesion.grid(), maps.nonEnhancing().voxels());
        Mask viable = but(lesion, core);
        double[] rises = SignalIn.ascending(maps.rise(), SignalIn.valued(maps.rise(), viable));
        double noise = contrast.noise() * Math.sqrt(1 + 1.0 / contrast.images().latePhases());
        double limit = rises.length == 0 ? OF_CONTRAST * noise : Percentile.of(rises, 0.5) / 2;
        Mask part = wanted ? viable : both(lesion, core);
        return new Found(part, sure(maps.rise(), part, limit, wanted ? noise : -noise));
    }

    private static Found bright(Volume image, Mask lesion, Mask part, double limit) {
        return new Found(
                part,
                sure(image, part, limit, NoiseLevel.of(image, lesion).number().orElse(0)));
    }

    private static Found low(Diffusion diffusion, Mask part, double limit) {
        if (diffusion.noise().isEmpty()) return new Found(part, 0.5);
        double sum = 0;
        for (int i = 0; i < part.voxels().length; i++)
            if (part.voxels()[i] != 0)
                sum += chance((limit - diffusion.adc().voxels()[i])
                        / diffusion.noise().get().voxels()[i]);
        return new Found(part, sum / part.count());
    }

    /** @param noise below 0 where the part lies under the limit; 0: not known */
    private static double sure(Volume image, Mask part, double limit, double noise) {
        double sum = 0;
        for (int i = 0; i < part.voxels().length; i++)
            if (part.voxels()[i] != 0) sum += noise == 0 ? 0.5 : chance((image.voxels()[i] - limit) / noise);
        return sum / part.count();
    }

    private static double chance(double deviations) {
        return Double.isNaN(deviations) ? 0.5 : 0.5 * Erf.erfc(-deviations / Math.sqrt(2));
    }
}
