// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.table.Percentile;
import org.leiogauge.task.Workers;

/**
 * How bright a lesion is on T2 against muscle and myometrium, and its fluid-like and its dark part.
 *
 * <p>Ratio: mean of the lesion over the median of the reference, no unit; without the tissue outside that voxels at the
 * lesion's border hold ({@link UnmixedMean}). Class: low up to the settings' multiple of
 * muscle, high from the settings' multiple of myometrium on, intermediate between them; where both hold, because the
 * myometrium is as dark as muscle, low. Relative inter-quartile range: (P75 − P25) / P50, percentiles linear between order
 * statistics (type 7). Bright: {@link BrightPart} above the settings' multiple of the myometrium; fluid, myxoid change and
 * liquid necrosis are. Its border: the median 10–90 % width of the step around it, as {@link MarginSharpness} measures that
 * of the lesion; well circumscribed is narrow. Fluid-like, and so cyst-like, is what lies above the settings' share of the
 * urine, or, where there is no such reference, above a larger multiple of the myometrium. Dark: at or below the settings'
 * multiple of muscle.
 *
 * <p>The image is expected without bias field. Voxels without a value are left out. A missing or refused reference makes
 * what needs it not measured.
 *
 * <p>Source: low, intermediate, high against muscle and myometrium: Funaki's types, from memory; their use is sourced to
 * MAGMA 2020. All multiples: common practice, no source.
 */
public final class T2Signal {
    // What is bright is of several tissues: their middle one.
    private static final double LEVEL = 0.5;

    private T2Signal() {}

    /**
     * @param lowUpToMuscle low at or below this multiple of muscle; also the limit of the dark part
     * @param highFromMyometrium high at or above this multiple of myometrium
     * @param brightOfMyometrium bright above this multiple of myometrium
     * @param fluidOfMyometrium fluid-like above this multiple of myometrium
     * @param fluidOfUrine fluid-like above this share of urine, where there is such a reference
     * @param leastPocketMm3 smaller bright spots are texture or noise
     * @param fewVoxels below this number values carry a caution
     * @param border how the border of the bright part is looked at
     */
    public record Settings(
            double lowUpToMuscle,
            double highFromMyometrium,
            double brightOfMyometrium,
            double fluidOfMyometrium,
            double fluidOfUrine,
            double leastPocketMm3,
            int fewVoxels,
            MarginSharpness.Settings border) {
        public Settings {
            if (!(lowUpToMuscle > 0 && highFromMyometrium > 0 && brightOfMyometrium > 0)
                    || !(fluidOfMyometrium > 0 && fluidOfUrine > 0))
                throw new IllegalArgumentException(
                        "multiples must be > 0, got " + lowUpToMuscle + ", " + highFromMyometrium + ", "
                                + brightOfMyometrium + ", " + fluidOfMyometrium + ", " + fluidOfUrine);
            if (!(leastPocketMm3 >= 0) || fewVoxels < 0)
                throw new IllegalArgumentException(
                        "leastPocketMm3 and fewVoxels must be 0 or more, got " + leastPocketMm3 + ", " + fewVoxels);
        }

        public static Settings standard() {
            return new Settings(1.2, 1, 1.5, 2.3, 1, 50, 100, MarginSharpness.Settings.standard());
        }
    }

    /** The lesion's mean signal against muscle and myometrium; in the table 1, 2, 3. */
    public enum SignalClass {
        LOW,
        INTERMEDIATE,
        HIGH;

        public int number() {
            return ordinal() + 1;
        }

        /** Against what: a sign of the same name may have other limits. */
        public String words() {
            return switch (this) {
                case LOW -> "about as dark as muscle";
                case INTERMEDIATE -> "between muscle and myometrium";
                case HIGH -> "as bright as myometrium, or more";
            };
        }
    }

    /** In the order of {@link LesionDefinitions#t2Signal()}. */
    public static List<LesionValue> measure(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings, Workers workers) {
        Mask valued = SignalIn.valued(t2, lesion);
        double[] signal = SignalIn.ascending(t2, valued);
        Optional<Accepted> muscle = References.accepted(references, Tissue.MUSCLE);
        Optional<Accepted> myometrium = References.accepted(references, Tissue.MYOMETRIUM);
        String few = few(signal.length, settings);
        List<LesionValue> values = new ArrayList<>();
        double mean = UnmixedMean.over(lesion).of(t2);
        values.add(SignalIn.ratio(LesionDefinitions.T2_TO_MUSCLE, mean, references, Tissue.MUSCLE, few));
        values.add(SignalIn.ratio(LesionDefinitions.T2_TO_MYOMETRIUM, mean, references, Tissue.MYOMETRIUM, few));
        values.add(value(LesionDefinitions.T2_CLASS, classNumber(mean, references, settings), few));
        values.add(value(
                LesionDefinitions.T2_QUARTILE_RANGE,
                Measurement.of(
                        (Percentile.of(signal, 0.75) - Percentile.of(signal, 0.25)) / Percentile.of(signal, 0.5),
                        "the lesion holds no voxel with a value, or its median is 0"),
                few));
        values.addAll(bright(t2, valued, references, settings, few, workers));
        values.add(fluid(t2, valued, references, settings, few));
        values.add(value(
                LesionDefinitions.T2_DARK_FRACTION,
                muscle.isEmpty()
                        ? new NotMeasured(References.reason(references, Tissue.MUSCLE))
                        : Measurement.of(
                                SignalIn.shareUpTo(
                                        signal,
                                        settings.lowUpToMuscle() * muscle.get().median()),
                                SignalIn.EMPTY),
                few.isEmpty() ? darkMyometrium(muscle, myometrium, settings) : few));
        return List.copyOf(values);
    }

    /** Why any T2 value of the lesion wants care; empty if it holds voxels enough. */
    static String few(Volume t2, Mask lesion, Settings settings) {
        return few(SignalIn.valued(t2, lesion).count(), settings);
    }

    private static String few(int voxels, Settings settings) {
        return voxels < settings.fewVoxels() ? "only " + voxels + " voxels" : "";
    }

    /** Empty where a reference lacks, or the lesion has no voxel with a value. */
    public static Optional<SignalClass> signalClass(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings) {
        return signalClass(UnmixedMean.over(lesion).of(t2), references, settings);
    }

    private static Optional<SignalClass> signalClass(
            double mean, Map<Tissue, Reference> references, Settings settings) {
        Optional<Accepted> muscle = References.accepted(references, Tissue.MUSCLE);
        Optional<Accepted> myometrium = References.accepted(references, Tissue.MYOMETRIUM);
        if (muscle.isEmpty() || myometrium.isEmpty() || Double.isNaN(mean)) return Optional.empty();
        if (mean <= settings.lowUpToMuscle() * muscle.get().median()) return Optional.of(SignalClass.LOW);
        return Optional.of(
                mean >= settings.highFromMyometrium() * myometrium.get().median()
                        ? SignalClass.HIGH
                        : SignalClass.INTERMEDIATE);
    }

    private static Measurement classNumber(double mean, Map<Tissue, Reference> references, Settings settings) {
        for (Tissue tissue : List.of(Tissue.MUSCLE, Tissue.MYOMETRIUM))
            if (References.accepted(references, tissue).isEmpty())
                return new NotMeasured(References.reason(references, tissue));
        return signalClass(mean, references, settings)
                .<Measurement>map(c -> new Measured(c.number()))
                .orElse(new NotMeasured(SignalIn.EMPTY));
    }

    // Dark as muscle then says little: the myometrium is, too.
    private static String darkMyometrium(Optional<Accepted> muscle, Optional<Accepted> myometrium, Settings settings) {
        boolean dark = muscle.isPresent()
                && myometrium.isPresent()
                && myometrium.get().median()
                        <= settings.lowUpToMuscle() * muscle.get().median();
        return dark ? "the myometrium reference is as dark as muscle" : "";
    }

    private static List<LesionValue> bright(
            Volume t2, Mask valued, Map<Tissue, Reference> references, Settings settings, String few, Workers workers) {
        Optional<Accepted> myometrium = References.accepted(references, Tissue.MYOMETRIUM);
        if (myometrium.isEmpty() || valued.isEmpty()) {
            Measurement none = new NotMeasured(
                    valued.isEmpty() ? SignalIn.EMPTY : References.reason(references, Tissue.MYOMETRIUM));
            return List.of(
                    value(LesionDefinitions.T2_BRIGHT_FRACTION, none, ""),
                    value(LesionDefinitions.T2_BRIGHT_BORDER, none, ""));
        }
        BrightPart bright = bright(t2, valued, myometrium.get(), settings);
        return List.of(
                value(LesionDefinitions.T2_BRIGHT_FRACTION, new Measured(bright.share()), few),
                border(t2, bright.mask(), settings, few, workers));
    }

    private static LesionValue border(Volume t2, Mask bright, Settings settings, String few, Workers workers) {
        if (bright.isEmpty())
            return value(LesionDefinitions.T2_BRIGHT_BORDER, new NotMeasured("no part of the lesion is bright"), few);
        LesionValue width = MarginSharpness.measure(t2, bright, Map.of(), settings.border(), workers)
                .get(0);
        return value(
                LesionDefinitions.T2_BRIGHT_BORDER, width.value().measurement(), few.isEmpty() ? width.caution() : few);
    }

    private static BrightPart bright(Volume t2, Mask valued, Accepted myometrium, Settings settings) {
        double limit = settings.brightOfMyometrium() * myometrium.median();
        return BrightPart.above(limit, t2, valued, settings.leastPocketMm3(), LEVEL);
    }

    /** The bright part itself; none without a reference, or a voxel with a value. */
    public static Optional<Mask> brightPart(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings) {
        Mask valued = SignalIn.valued(t2, lesion);
        return References.accepted(references, Tissue.MYOMETRIUM)
                .filter(myometrium -> !valued.isEmpty())
                .map(myometrium -> bright(t2, valued, myometrium, settings).mask());
    }

    /** The fluid-like part; none without a reference, or a voxel with a value. */
    static Optional<BrightPart> fluidPart(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings) {
        Mask valued = SignalIn.valued(t2, lesion);
        return fluidLimit(references, settings)
                .filter(limit -> !valued.isEmpty())
                .map(limit -> BrightPart.above(limit, t2, valued, settings.leastPocketMm3(), LEVEL));
    }

    // Urine is what fluid looks like on this very image; without it the myometrium must do.
    private static Optional<Double> fluidLimit(Map<Tissue, Reference> references, Settings settings) {
        return References.accepted(references, Tissue.URINE)
                .map(u -> settings.fluidOfUrine() * u.median())
                .or(() -> References.accepted(references, Tissue.MYOMETRIUM)
                        .map(m -> settings.fluidOfMyometrium() * m.median()));
    }

    private static LesionValue fluid(
            Volume t2, Mask valued, Map<Tissue, Reference> references, Settings settings, String few) {
        Optional<Accepted> urine = References.accepted(references, Tissue.URINE);
        Optional<BrightPart> part = fluidPart(t2, valued, references, settings);
        if (part.isEmpty())
            return value(
                    LesionDefinitions.T2_FLUID_FRACTION,
                    new NotMeasured(valued.isEmpty() ? SignalIn.EMPTY : References.reason(references, Tissue.URINE)),
                    "");
        String caution = few.isEmpty() && urine.isEmpty() ? "fluid is judged by the myometrium, without urine" : few;
        return value(
                LesionDefinitions.T2_FLUID_FRACTION, new Measured(part.get().share()), caution);
    }

    private static LesionValue value(Definition definition, Measurement measurement, String caution) {
        return LesionValue.of(definition, measurement).with(measurement.number().isPresent() ? caution : "");
    }
}
