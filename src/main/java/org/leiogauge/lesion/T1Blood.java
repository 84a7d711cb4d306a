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
 * Blood-like signal on T1, fat-suppressed where there is such a series: how much, where, and what it is on T2.
 *
 * <p>Ratio: mean of the lesion over the median of the reference, no unit. Bright: {@link BrightPart} above the larger of
 * the settings' multiple of the reference's median and its median plus the settings' number of its spreads, so that
 * neither a dull contrast nor noise counts; the reference is the myometrium, without it the muscle.
 *
 * <p>Rim index: bright share of the shell less that of the core, −1 to 1. A voxel's depth share is d / (d + ρ), d its
 * depth ({@link BorderDepth}), ρ its distance from the lesion's centre, in mm: 1 − ρ / R in a ball of radius R. The shell
 * is what has at most the settings' depth share. Pieces: parts of the bright signal joined by faces or edges.
 *
 * <p>Pattern: none, under the settings' least share; rim, an index of at least the settings' one; one pocket or patches, by
 * the number of pieces, while the largest holds most of it; diffuse, if none of them does.
 *
 * <p>On T2: median of the T2-weighted signal in the bright part over that in the rest of the lesion, medians because voxels
 * at the border are mixed; below 1 it drops there, as with old blood. Not measured without a T2-weighted image on this grid, or if either part has no value there.
 *
 * <p>Source: T1 bright area as a sign: Ando et al. 2018; all limits: common practice, no source.
 */
public final class T1Blood {
    private static final double MOST = 0.5;
    // A rim of blood may be two voxels thick, and most of them mixed; tried on the synthetic studies, thick slices and
    // thin.
    private static final double LEVEL = 0.65;

    private T1Blood() {}

    /**
     * @param ofMyometrium bright above this multiple of the myometrium
     * @param ofMuscle bright above this multiple of the muscle, where there is no myometrium
     * @param spreads bright above the reference's median by so many of its spreads
     * @param leastPocketMm3 smaller bright spots are noise
     * @param shell share of the depth that makes the shell
     * @param leastShare of the lesion; less makes no pattern
     * @param rimIndex from here on the pattern is a rim
     * @param fewVoxels below this number values carry a caution
     */
    public record Settings(
            double ofMyometrium,
            double ofMuscle,
            double spreads,
            double leastPocketMm3,
            double shell,
            double leastShare,
            double rimIndex,
            int fewVoxels) {
        public Settings {
            if (!(ofMyometrium > 1 && ofMuscle > 1 && spreads >= 0))
                throw new IllegalArgumentException("multiples must be > 1 and spreads 0 or more, got " + ofMyometrium
                        + ", " + ofMuscle + ", " + spreads);
            if (!(leastPocketMm3 >= 0) || fewVoxels < 0)
                throw new IllegalArgumentException(
                        "leastPocketMm3 and fewVoxels must be 0 or more, got " + leastPocketMm3 + ", " + fewVoxels);
            if (!(shell > 0 && shell < 1 && leastShare >= 0 && leastShare < 1 && rimIndex > 0 && rimIndex <= 1))
                throw new IllegalArgumentException("shell, leastShare and rimIndex must be 0 to 1, got " + shell + ", "
                        + leastShare + ", " + rimIndex);
        }

        public static Settings standard() {
            return new Settings(1.7, 1.4, 3, 50, 0.25, 0.01, 0.25, 100);
        }
    }

    /** Where the bright part lies; in the table 0 to 4. */
    public enum Pattern {
        NONE,
        RIM,
        ONE_POCKET,
        PATCHES,
        SCATTERED;

        public int number() {
            return ordinal();
        }
    }

    /**
     * In the order of {@link LesionDefinitions#t1()}.
     *
     * @param fatSuppressed whether fat is dark on this series
     * @param t2 the T2-weighted image on the same grid
     * @param part as {@link #brightPart} finds it
     */
    public static List<LesionValue> measure(
            Volume t1,
            boolean fatSuppressed,
            Optional<Volume> t2,
            Mask lesion,
            Map<Tissue, Reference> references,
            Optional<BrightPart> part,
            Settings settings,
            Workers workers) {
        Mask valued = SignalIn.valued(t1, lesion);
        double[] signal = SignalIn.ascending(t1, valued);
        String few = signal.length < settings.fewVoxels() ? "only " + signal.length + " voxels" : "";
        List<LesionValue> values = new ArrayList<>();
        values.add(
                SignalIn.ratio(LesionDefinitions.T1_TO_MUSCLE, SignalIn.mean(signal), references, Tissue.MUSCLE, few));
        values.add(SignalIn.ratio(
                LesionDefinitions.T1_TO_MYOMETRIUM, SignalIn.mean(signal), references, Tissue.MYOMETRIUM, few));
        String caution = few.isEmpty() && !fatSuppressed ? "without fat suppression fat is as bright as blood" : few;
        values.addAll(bright(part, t2, valued, references, settings, caution, workers));
        return List.copyOf(values);
    }

    /** The blood-like part itself; none without a reference or a voxel with a value. */
    static Optional<BrightPart> brightPart(
            Volume t1, Mask lesion, Map<Tissue, Reference> references, Settings settings) {
        Mask valued = SignalIn.valued(t1, lesion);
        if (valued.isEmpty()) return Optional.empty();
        Optional<Accepted> myometrium = References.accepted(references, Tissue.MYOMETRIUM);
        Optional<Accepted> reference = myometrium.or(() -> References.accepted(references, Tissue.MUSCLE));
        double multiple = myometrium.isPresent() ? settings.ofMyometrium() : settings.ofMuscle();
        return reference.map(r -> BrightPart.aboveToBorder(
                Math.max(multiple * r.median(), r.median() + settings.spreads() * r.spread()),
                t1,
                valued,
                settings.leastPocketMm3(),
                LEVEL));
    }

    private static List<LesionValue> bright(
            Optional<BrightPart> found,
            Optional<Volume> t2,
            Mask valued,
            Map<Tissue, Reference> references,
            Settings settings,
            String caution,
            Workers workers) {
        List<Definition> all = LesionDefinitions.t1Bright();
        if (found.isEmpty()) {
            Measurement none = new NotMeasured(
                    valued.isEmpty() ? SignalIn.EMPTY : References.reason(references, Tissue.MYOMETRIUM));
            return all.stream().map(d -> LesionValue.of(d, none)).toList();
        }
        BrightPart part = found.get();
        Measurement rim = rimIndex(part.mask(), valued, settings, workers);
        int pieces = part.pieces(settings.leastPocketMm3());
        List<Measurement> measured = List.of(
                new Measured(part.share()),
                rim,
                new Measured(pieces),
                Measurement.of(part.largestShare(), "no part of the lesion is bright"),
                new Measured(pattern(part, rim, pieces, settings).number()),
                t2.map(image -> onT2(image, part.mask(), valued))
                        .orElse(new NotMeasured("no T2-weighted image lies on this grid")));
        String byMuscle = References.accepted(references, Tissue.MYOMETRIUM).isEmpty()
                ? "judged by the muscle: " + References.reason(references, Tissue.MYOMETRIUM)
                : "";
        List<LesionValue> values = new ArrayList<>();
        for (int i = 0; i < all.size(); i++)
            values.add(LesionValue.of(all.get(i), measured.get(i))
                    .with(measured.get(i).number().isEmpty() ? "" : caution.isEmpty() ? byMuscle : caution));
        return values;
    }

    private static Pattern pattern(BrightPart part, Measurement rim, int pieces, Settings settings) {
        if (part.share() < settings.leastShare() || part.mask().isEmpty()) return Pattern.NONE;
        if (rim.number().orElse(0) >= settings.rimIndex()) return Pattern.RIM;
        if (pieces <= 1) return Pattern.ONE_POCKET;
        return part.largestShare() >= MOST || pieces < 10 ? Pattern.PATCHES : Pattern.SCATTERED;
    }

    private static Measurement rimIndex(Mask bright, Mask lesion, Settings settings, Workers workers) {
        float[] depth = BorderDepth.of(lesion, workers);
        double[] distance = fromCentre(lesion);
        int[] all = new int[2];
        int[] lit = new int[2];
        for (int i = 0; i < depth.length; i++) {
            if (lesion.voxels()[i] == 0) continue;
            int side = depth[i] <= settings.shell() * (depth[i] + distance[i]) ? 1 : 0;
            all[side]++;
            lit[side] += bright.voxels()[i];
        }
        return Measurement.of(
                (double) lit[1] / all[1] - (double) lit[0] / all[0], "the lesion has no core, or no shell");
    }

    private static double[] fromCentre(Mask lesion) {
        int nx = lesion.grid().size().x();
        int ny = lesion.grid().size().y();
        double[] step = {
            lesion.grid().spacing().x(),
            lesion.grid().spacing().y(),
            lesion.grid().spacing().z()
        };
        double[] centre = new double[3];
        byte[] v = lesion.voxels();
        for (int i = 0; i < v.length; i++) {
            if (v[i] == 0) continue;
            centre[0] += (double) (i % nx) / lesion.count();
            centre[1] += (double) (i / nx % ny) / lesion.count();
            centre[2] += (double) (i / nx / ny) / lesion.count();
        }
        double[] distance = new double[v.length];
        for (int i = 0; i < v.length; i++) {
            if (v[i] == 0) continue;
            double x = (i % nx - centre[0]) * step[0];
            double y = (i / nx % ny - centre[1]) * step[1];
            double z = (i / nx / ny - centre[2]) * step[2];
            distance[i] = Math.sqrt(x * x + y * y + z * z);
        }
        return distance;
    }

    private static Measurement onT2(Volume t2, Mask bright, Mask lesion) {
        Mask lit = SignalIn.valued(t2, bright);
        byte[] rest = lesion.voxels().clone();
        for (int i = 0; i < rest.length; i++) rest[i] &= (byte) (1 - bright.voxels()[i]);
        double inBright = Percentile.of(SignalIn.ascending(t2, lit), 0.5);
        double inRest = Percentile.of(SignalIn.ascending(t2, SignalIn.valued(t2, new Mask(lesion.grid(), rest))), 0.5);
        return Measurement.of(inBright / inRest, "the bright part or the rest of the lesion is empty");
    }
}
