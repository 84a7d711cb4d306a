// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Workers;

/**
 * Over how many mm the T2-weighted signal changes from the lesion's to that of its surroundings.
 *
 * <p>Places lie evenly along the border lines of the slices ({@link SliceContours}). At each one the voxels of the slice
 * within the settings' reach across and beside the border are taken as they are, not interpolated, which would blur
 * them; t is a voxel centre's distance from the line's tangent times the cosine n of the angle between the slice and the
 * surface's normal, found from where the border lies in the slices above and below. A sigmoid through them
 * ({@link EdgeFit}) gives the width w from 10 to 90 % of the step: through those within half the reach, and if w is above two
 * thirds of that, through those within three quarters, then through all. A voxel blurs it by its extent along the normal,
 * v = Σ (spacing_i n_i)² / 12, so that w² − (w²/σ²) v remains, taken per place. Voxels on the wrong side of the border by
 * more than 1.5 voxels belong to another fold and are left out. Sharpness is the root of the median of w² less the blur, 0
 * if that is negative; places weigh by the square of their step over the fit's noise,
 * up to 15.
 *
 * <p>Places where the normal leaves the slice by more than the settings' tilt are left out: there a thick slice, not the
 * tissue, makes the width. Roughness finer than the reach beside the border counts as width. No step: it is below the
 * settings' multiple of the fit's noise, or further from the outline than the settings say, or wider
 * than 1.5 times the reach. Ill-defined: no step, or wider than the settings' width. Not measured with fewer
 * than the settings' number of places.
 *
 * <p>Border against myometrium: the fit's outside signal lies within the settings' share of the reference's median, other
 * tissue: it does not; not told apart without a reference.
 *
 * <p>Source: 10–90 % distance: common practice; the fit to scattered voxels and the limits: ours, no source.
 */
public final class MarginSharpness {
    private static final int FEWEST_VOXELS = 12;
    private static final double WIDEST = 1.5;
    private static final double MOST_CONTRAST = 15;
    private static final double WRONG_SIDE = 1.5;
    private static final double[] NEARER = {0.5, 0.75};
    private static final double WIDE = 2.0 / 3;

    private MarginSharpness() {}

    /**
     * @param smoothingVoxels as in {@link MarginShape.Settings}
     * @param reachMm how far across the border the signal is looked at, on either side
     * @param besideMm how far along the border, on either side
     * @param mostPlaces along the whole border
     * @param largestTilt sine of the largest angle between slice and normal
     * @param leastStep in standard deviations of the fit's noise
     * @param farthestMm a step further from the outline is another border's
     * @param illDefinedMm a wider step is ill-defined
     * @param likeMyometrium share of the reference's median that the outside may differ
     * @param fewestPlaces fewer make no median
     */
    public record Settings(
            double smoothingVoxels,
            double reachMm,
            double besideMm,
            int mostPlaces,
            double largestTilt,
            double leastStep,
            double farthestMm,
            double illDefinedMm,
            double likeMyometrium,
            int fewestPlaces) {
        public Settings {
            if (!(smoothingVoxels >= 0.3 && smoothingVoxels <= 5))
                throw new IllegalArgumentException("smoothingVoxels must be 0.3 to 5, got " + smoothingVoxels);
            if (!(reachMm > 0 && reachMm <= 50 && besideMm > 0 && besideMm <= 20))
                throw new IllegalArgumentException(
                        "reachMm must be above 0 to 50, besideMm to 20, got " + reachMm + " and " + besideMm);
            if (mostPlaces < 1 || fewestPlaces < 1)
                throw new IllegalArgumentException(
                        "mostPlaces and fewestPlaces must be 1 or more, got " + mostPlaces + " and " + fewestPlaces);
            if (!(largestTilt > 0
                    && largestTilt <= 1
                    && leastStep > 0
                    && farthestMm > 0
                    && illDefinedMm > 0
                    && likeMyometrium > 0))
                throw new IllegalArgumentException(
                        "largestTilt 0 to 1, leastStep, farthestMm, illDefinedMm and likeMyometrium above 0 expected, got "
                                + largestTilt + ", " + leastStep + ", " + farthestMm + ", " + illDefinedMm + ", "
                                + likeMyometrium);
        }

        public static Settings standard() {
            return new Settings(1, 6, 3, 500, 0.5, 4, 2.5, 3, 0.25, 10);
        }
    }

    /** What lies outside at a place. */
    public enum Border {
        MYOMETRIUM,
        OTHER_TISSUE,
        /** Without a reference. */
        UNKNOWN
    }

    /**
     * One place on the border.
     *
     * @param point in patient space
     * @param width in mm, less the blur of the voxel, 0 or more; not measured where no step stands out
     */
    public record Place(Point point, Measurement width, Border border) {}

    // squareMm: w² less the blur, NaN without a step
    private record Step(Point point, double squareMm, double blurSquareMm, double weight, Border border) {}

    public static List<LesionValue> measure(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings, Workers workers) {
        List<Step> steps = steps(t2, lesion, references, settings, workers);
        if (steps.size() < settings.fewestPlaces()) {
            Measurement none = new NotMeasured("only " + steps.size()
                    + " places of the border cross the slices steeply, " + settings.fewestPlaces() + " needed");
            return LesionDefinitions.marginSharpness().stream()
                    .map(d -> LesionValue.of(d, none))
                    .toList();
        }
        String caution = caution(steps);
        Measurement noReference = new NotMeasured(References.reason(references, Tissue.MYOMETRIUM));
        boolean apart = References.accepted(references, Tissue.MYOMETRIUM).isPresent();
        long unclear = steps.stream()
                .filter(s -> Double.isNaN(s.squareMm()) || s.squareMm() > Math.pow(settings.illDefinedMm(), 2))
                .count();
        return List.of(
                value(LesionDefinitions.MARGIN_SHARPNESS, median(steps, settings), caution),
                value(
                        LesionDefinitions.SHARPNESS_MYOMETRIUM,
                        apart ? median(of(steps, Border.MYOMETRIUM), settings) : noReference,
                        caution),
                value(
                        LesionDefinitions.SHARPNESS_OTHER,
                        apart ? median(of(steps, Border.OTHER_TISSUE), settings) : noReference,
                        caution),
                value(LesionDefinitions.ILL_DEFINED, new Measured((double) unclear / steps.size()), ""));
    }

    /** The widths place by place, in the order of slices and along their lines: for a map over the surface. */
    public static List<Place> map(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings, Workers workers) {
        return steps(t2, lesion, references, settings, workers).stream()
                .map(s -> new Place(
                        s.point(),
                        Measurement.of(Math.sqrt(Math.max(0, s.squareMm())), "no step stands out of the noise"),
                        s.border()))
                .toList();
    }

    private static LesionValue value(Definition definition, Measurement measurement, String caution) {
        return LesionValue.of(definition, measurement).with(measurement.number().isPresent() ? caution : "");
    }

    private static List<Step> of(List<Step> steps, Border border) {
        return steps.stream().filter(s -> s.border() == border).toList();
    }

    private static Measurement median(List<Step> steps, Settings settings) {
        List<Step> clear = clear(steps);
        if (clear.size() < settings.fewestPlaces())
            return new NotMeasured("a step stands out of the noise at " + clear.size() + " places only, "
                    + settings.fewestPlaces() + " needed");
        return new Measured(Math.sqrt(Math.max(0, middle(clear))));
    }

    private static List<Step> clear(List<Step> steps) {
        return steps.stream()
                .filter(s -> !Double.isNaN(s.squareMm()))
                .sorted(Comparator.comparingDouble(Step::squareMm))
                .toList();
    }

    // Weighted median: half of the weight lies on either side.
    private static double middle(List<Step> ascending) {
        double half = ascending.stream().mapToDouble(Step::weight).sum() / 2;
        double sum = 0;
        for (Step step : ascending) {
            sum += step.weight();
            if (sum >= half) return step.squareMm();
        }
        throw new IllegalStateException("no step");
    }

    // What is narrower than the voxels' own blur is their width more than the tissue's.
    private static String caution(List<Step> steps) {
        List<Step> clear = clear(steps);
        if (2 * clear.size() < steps.size()) return "no clear step along more than half of the border";
        double blur = steps.stream().mapToDouble(Step::blurSquareMm).average().orElse(0);
        return clear.isEmpty() || middle(clear) >= blur
                ? ""
                : String.format(Locale.ROOT, "narrower than the blur of the voxels, %.1f mm", Math.sqrt(blur));
    }

    private static List<Step> steps(
            Volume t2, Mask lesion, Map<Tissue, Reference> references, Settings settings, Workers workers) {
        if (!t2.grid().size().equals(lesion.grid().size()))
            throw new IllegalArgumentException("lesion must have the image's size "
                    + t2.grid().size() + ", got " + lesion.grid().size());
        List<SliceContour> lines = SliceContours.of(lesion, settings.smoothingVoxels(), workers);
        double total = lines.stream().mapToDouble(SliceContour::perimeter).sum();
        Spacing s = lesion.grid().spacing();
        double every = Math.max(Math.max(s.x(), s.y()), total / settings.mostPlaces());
        Work work = new Work(
                t2,
                lesion,
                settings,
                References.accepted(references, Tissue.MYOMETRIUM).orElse(new Accepted(Double.NaN, 0, 0)));
        return workers.map(lines.size(), i -> work.along(lines.get(i), every)).stream()
                .flatMap(List::stream)
                .toList();
    }

    private record Work(Volume t2, Mask lesion, Settings settings, Accepted myometrium) {

        List<Step> along(SliceContour line, double every) {
            // the tangent is taken over some voxels on either side
            int parts = 4;
            int places = (int) Math.max(4, Math.round(line.perimeter() / every));
            SliceContour even = line.evenly(parts * places);
            Spacing s = lesion.grid().spacing();
            double step = line.perimeter() / even.corners();
            int wide = (int) Math.max(1, Math.round(2.5 * Math.max(s.x(), s.y()) / step));
            wide = Math.min(wide, even.corners() / 6);
            List<Step> steps = new ArrayList<>();
            for (int i = 0; i < even.corners(); i += parts) {
                int ahead = (i + wide) % even.corners();
                int behind = Math.floorMod(i - wide, even.corners());
                double dx = even.x(ahead) - even.x(behind);
                double dy = even.y(ahead) - even.y(behind);
                double length = Math.hypot(dx, dy);
                // anticlockwise: outside lies on the right
                if (length > 0) add(steps, even.x(i), even.y(i), line.slice(), dy / length, -dx / length);
            }
            return steps;
        }

        private void add(List<Step> steps, double x, double y, int z, double nx, double ny) {
            double slope = slope(x, y, z, nx, ny);
            double cosine = 1 / Math.sqrt(1 + slope * slope);
            if (!(Math.abs(slope) * cosine <= settings.largestTilt())) return;
            double[] t = new double[64];
            double[] signal = new double[64];
            double reach = settings.reachMm() / cosine;
            double aside = reach * reach + settings.besideMm() * settings.besideMm();
            Spacing s = lesion.grid().spacing();
            Size size = lesion.grid().size();
            double wrong = WRONG_SIDE * Math.max(s.x(), s.y());
            int n = 0;
            int sides = 0;
            double far = Math.sqrt(aside);
            for (int j = lowest(y - far, s.y()); j <= highest(y + far, s.y(), size.y()); j++)
                for (int i = lowest(x - far, s.x()); i <= highest(x + far, s.x(), size.x()); i++) {
                    double dx = i * s.x() - x;
                    double dy = j * s.y() - y;
                    double across = dx * nx + dy * ny;
                    if (Math.abs(across) > reach || Math.abs(dy * nx - dx * ny) > settings.besideMm()) continue;
                    boolean inside = lesion.has(i, j, z);
                    float v = t2.at(i, j, z);
                    if (Float.isNaN(v) || (inside ? across > wrong : across < -wrong)) continue;
                    if (n == t.length) {
                        t = Arrays.copyOf(t, 2 * n);
                        signal = Arrays.copyOf(signal, 2 * n);
                    }
                    t[n] = across * cosine;
                    signal[n++] = v;
                    sides |= across < 0 ? 1 : 2;
                }
            if (n < FEWEST_VOXELS || sides != 3) return;
            double blur =
                    (square(s.x() * nx * cosine) + square(s.y() * ny * cosine) + square(s.z() * slope * cosine)) / 12;
            steps.add(step(lesion.grid().point(x / s.x(), y / s.y(), z), fit(t, signal, n), blur));
        }

        // What lies further out is asked only if the step needs it: another tissue may begin there.
        private EdgeFit fit(double[] t, double[] signal, int count) {
            for (double share : NEARER) {
                double near = share * settings.reachMm();
                double[] nearT = new double[count];
                double[] nearSignal = new double[count];
                int n = 0;
                for (int i = 0; i < count; i++) {
                    if (Math.abs(t[i]) > near) continue;
                    nearT[n] = t[i];
                    nearSignal[n++] = signal[i];
                }
                if (n < FEWEST_VOXELS) continue;
                EdgeFit fit = EdgeFit.of(nearT, nearSignal, n, near);
                if (fit.widthMm() <= WIDE * near) return fit;
            }
            return EdgeFit.of(t, signal, count, settings.reachMm());
        }

        private Step step(Point point, EdgeFit fit, double blur) {
            double height = Math.abs(fit.outside() - fit.inside());
            double blurSquare = EdgeFit.SQUARE_OVER_VARIANCE * blur;
            // as wide as the window it is a slope, not a step
            boolean fits =
                    Math.abs(fit.offsetMm()) <= settings.farthestMm() && fit.widthMm() <= WIDEST * settings.reachMm();
            boolean stands = fits && height > settings.leastStep() * fit.noise() && height > 0;
            double square = stands ? fit.widthMm() * fit.widthMm() - blurSquare : Double.NaN;
            double contrast = Math.min(MOST_CONTRAST, height / Math.max(fit.noise(), height / MOST_CONTRAST));
            return new Step(point, square, blurSquare, contrast * contrast, border(fit.outside()));
        }

        private Border border(double outside) {
            if (Double.isNaN(myometrium.median())) return Border.UNKNOWN;
            double away = Math.abs(outside - myometrium.median());
            return away <= settings.likeMyometrium() * myometrium.median() ? Border.MYOMETRIUM : Border.OTHER_TISSUE;
        }

        // How far the border moves along n from the slice below to the one above, over the distance of the two;
        // infinite
        // where it is not in one of them.
        private double slope(double x, double y, int z, double nx, double ny) {
            if (z == 0 || z == lesion.grid().size().z() - 1) return Double.POSITIVE_INFINITY;
            double spacing = lesion.grid().spacing().z();
            return (shift(x, y, z + 1, nx, ny, 2 * spacing) - shift(x, y, z - 1, nx, ny, 2 * spacing)) / (2 * spacing);
        }

        private double shift(double x, double y, int z, double nx, double ny, double most) {
            Spacing s = lesion.grid().spacing();
            double step = Math.min(s.x(), s.y()) / 2;
            boolean inside = isIn(x, y, z);
            double sign = inside ? 1 : -1;
            for (double d = step; d <= most; d += step)
                if (isIn(x + sign * d * nx, y + sign * d * ny, z) != inside) return sign * (d - step / 2);
            return sign * Double.POSITIVE_INFINITY;
        }

        private boolean isIn(double x, double y, int z) {
            Grid grid = lesion.grid();
            int i = (int) Math.round(x / grid.spacing().x());
            int j = (int) Math.round(y / grid.spacing().y());
            return i >= 0 && j >= 0 && i < grid.size().x() && j < grid.size().y() && lesion.has(i, j, z);
        }

        private static int lowest(double mm, double spacing) {
            return (int) Math.max(0, Math.ceil(mm / spacing));
        }

        private static int highest(double mm, double spacing, int size) {
            return (int) Math.min(size - 1.0, Math.floor(mm / spacing));
        }

        private static double square(double v) {
            return v * v;
        }
    }
}
