// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Spacing;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Workers;

/**
 * How rough and how lobulated the outline of a lesion is, from the mask alone.
 *
 * <p>Roughness: √(Σ over l above the settings' smooth degree of a_l²), a_l the root mean square of degree l of the surface's
 * distance from its own ellipsoid ({@link RadialShape}), in mm; the spectrum lists a_l from degree 2 on. So the smooth
 * shape is the ellipsoid and the degrees up to the smooth one. Only waves that the slices can show count: up to degree
 * L = π R / (coarsest spacing). A ball with a wave, R (1 + e P_l), has e R / √(2l + 1) for l above the smooth degree.
 *
 * <p>A surface that a ray from the centre crosses more than once, in more than the settings' share of directions, is no
 * function of the direction. Its roughness then is the root mean square distance from its own smoothed shape
 * ({@link SmoothedShape}), with a caution that says so; spectrum and bulges are not measured.
 *
 * <p>Bulges: {@link Lobulation}. Form in the slices: {@link SliceMargin}.
 *
 * <p>Source: sums of harmonics: {@link RadialShape}; the measure and the limits: ours, no source.
 */
public final class MarginShape {
    private static final int FEWEST_SLICES = 3;
    private static final int FEW_SLICES = 5;

    private MarginShape() {}

    /**
     * @param smoothingVoxels width of the Gaussian that takes the voxels' steps off the lines, in voxels
     * @param smoothDegree highest degree of the smooth shape
     * @param highestDegree limit of L
     * @param stiffness ε of {@link RadialShape}
     * @param folded share of directions that may cross the surface more than once
     * @param lobeDegrees width σ of the smoothing for bulges, as an angle in degrees
     * @param lobeDepthMm least height of a bulge over its saddle
     * @param smallestWaveVoxels shorter waves of a line in a slice are left out of the bending energy
     */
    public record Settings(
            double smoothingVoxels,
            int smoothDegree,
            int highestDegree,
            double stiffness,
            double folded,
            double lobeDegrees,
            double lobeDepthMm,
            double smallestWaveVoxels) {
        public Settings {
            if (!(smoothingVoxels >= 0.3 && smoothingVoxels <= 5))
                throw new IllegalArgumentException("smoothingVoxels must be 0.3 to 5, got " + smoothingVoxels);
            if (smoothDegree < 2 || highestDegree <= smoothDegree || highestDegree > 24)
                throw new IllegalArgumentException("2 <= smoothDegree < highestDegree <= 24 expected, got "
                        + smoothDegree + " and " + highestDegree);
            if (!(stiffness > 0 && folded >= 0 && lobeDegrees > 0 && lobeDepthMm > 0 && smallestWaveVoxels >= 2))
                throw new IllegalArgumentException(
                        "stiffness, lobeDegrees, lobeDepthMm > 0, folded >= 0 and smallestWaveVoxels >= 2 expected, got "
                                + stiffness + ", " + lobeDegrees + ", " + lobeDepthMm + ", " + folded + ", "
                                + smallestWaveVoxels);
        }

        public static Settings standard() {
            return new Settings(1, 4, 16, 0.03, 0.05, 9, 1, 20);
        }
    }

    /** Size and form of the smooth surface, then what {@link LesionDefinitions#marginShape} names. */
    public static List<LesionValue> measure(Mask lesion, Settings settings, Workers workers) {
        List<SliceContour> lines = SliceContours.of(lesion, settings.smoothingVoxels(), workers);
        List<LesionValue> values = new ArrayList<>(surface(lesion, lines, settings, workers));
        values.addAll(slices(lesion, lines, settings, workers));
        return List.copyOf(values);
    }

    private static List<LesionValue> surface(
            Mask lesion, List<SliceContour> lines, Settings settings, Workers workers) {
        long spanned = lines.stream().mapToInt(SliceContour::slice).distinct().count();
        if (spanned < FEWEST_SLICES)
            return missing(lesion, "the lesion shows in " + spanned + " slices, " + FEWEST_SLICES + " needed");
        Optional<RadialShape> fit =
                RadialShape.fit(lesion, lines, settings.highestDegree(), settings.stiffness(), workers);
        if (fit.isEmpty() || fit.get().degree() <= settings.smoothDegree())
            return missing(
                    lesion,
                    "the lesion is too small for its slices: no wave above degree " + settings.smoothDegree()
                            + " can be seen");
        RadialShape shape = fit.get();
        double folded = SmoothedShape.foldedShare(lesion, shape.centre());
        if (folded > settings.folded())
            return folded(
                    lesion,
                    SmoothedShape.roughness(lesion, shape.radius() / (settings.smoothDegree() + 0.5), workers),
                    folded);
        String caution = caution(lesion, spanned, shape);
        List<LesionValue> values = new ArrayList<>(SurfaceSize.of(shape).values(caution));
        values.add(LesionValue.of(
                        LesionDefinitions.MARGIN_ROUGHNESS, new Measured(shape.amplitudeAbove(settings.smoothDegree())))
                .with(caution));
        for (int l = 2; l <= shape.degree(); l++)
            values.add(new LesionValue(
                    new FeatureValue(
                            LesionDefinitions.MARGIN_SPECTRUM,
                            new Aggregation("degree " + l, ""),
                            new Measured(shape.amplitude(l))),
                    caution));
        Lobulation bulges = Lobulation.of(shape, Math.toRadians(settings.lobeDegrees()), settings.lobeDepthMm());
        values.add(LesionValue.of(LesionDefinitions.LOBULATION_COUNT, new Measured(bulges.count()))
                .with(caution));
        values.add(LesionValue.of(LesionDefinitions.LOBULATION_DEPTH, new Measured(bulges.depthMm()))
                .with(caution));
        return values;
    }

    private static String caution(Mask lesion, long slices, RadialShape shape) {
        if (slices < FEW_SLICES) return "the lesion spans " + slices + " slices only";
        Spacing s = lesion.grid().spacing();
        double coarsest = Math.max(s.x(), Math.max(s.y(), s.z()));
        double wave = 2 * Math.PI * shape.radius() / shape.degree();
        // the settings' limit is no fault of the slices
        if (shape.degree() >= 10 || coarsest < 0.1 * shape.radius()) return "";
        return String.format(Locale.ROOT, "slices of %.1f mm show no wave below %.1f mm", coarsest, wave);
    }

    private static List<LesionValue> missing(Mask lesion, String reason) {
        Measurement none = new NotMeasured(reason);
        List<LesionValue> values = new ArrayList<>(SurfaceSize.ofVoxels(lesion, reason));
        values.addAll(List.of(
                LesionValue.of(LesionDefinitions.MARGIN_ROUGHNESS, none),
                LesionValue.of(LesionDefinitions.MARGIN_SPECTRUM, none),
                LesionValue.of(LesionDefinitions.LOBULATION_COUNT, none),
                LesionValue.of(LesionDefinitions.LOBULATION_DEPTH, none)));
        return values;
    }

    private static List<LesionValue> folded(Mask lesion, Measurement roughness, double share) {
        String why = String.format(
                Locale.ROOT, "the surface folds back on itself in %.0f %% of directions from its centre", 100 * share);
        List<LesionValue> values = new ArrayList<>(missing(lesion, why));
        values.set(
                SurfaceSize.DEFINITIONS.size(),
                LesionValue.of(LesionDefinitions.MARGIN_ROUGHNESS, roughness)
                        .with(why + ": distance from the smoothed shape instead"));
        return values;
    }

    private static List<LesionValue> slices(Mask lesion, List<SliceContour> lines, Settings settings, Workers workers) {
        List<Definition> all = LesionDefinitions.marginInSlices();
        if (lines.isEmpty()) {
            Measurement none = new NotMeasured("the lesion is empty or thinner than two voxels in every slice");
            return all.stream().map(d -> LesionValue.of(d, none)).toList();
        }
        Spacing s = lesion.grid().spacing();
        double pixel = Math.sqrt(s.x() * s.y());
        SliceMargin margin = SliceMargin.of(lines, pixel, settings.smallestWaveVoxels() * pixel, workers);
        double[] found = {
            margin.circularity(), margin.convexity(), margin.bendingEnergy(), margin.radialEntropy(), margin.dimension()
        };
        List<LesionValue> values = new ArrayList<>();
        for (int i = 0; i < found.length; i++)
            values.add(
                    LesionValue.of(all.get(i), Measurement.of(found[i], "no slice of the lesion is 16 voxels across")));
        return values;
    }
}
