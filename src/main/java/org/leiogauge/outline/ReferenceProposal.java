// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.IntStream;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Balls on a T2-weighted image that could serve as reference regions, for a reader to confirm or move.
 *
 * <p>At each voxel mean m and spread s of its surroundings, weighted with a Gaussian of half the ball's radius; calm: s / m
 * below a limit; body: m above a share of the 90th percentile of all. Muscle: calm body away from the lesion, beside or
 * behind it, the darkest. Urine: calm, in front of or below the lesion, the brightest, and well above the body's median.
 * Myometrium: calm within a ring around the lesion, between muscle and urine, and as bright as what lies right beside the
 * lesion, b, the median of the voxels from {@value #BESIDE_FROM_MM} to {@value #BESIDE_TO_MM} mm outside its border: fat is calm
 * too, and near. Among them the one with the least s / m + |ln (m / b)|; none if what lies beside the lesion is not one tissue.
 * What {@link ReferenceRegion} refuses is passed over. Confidence: 1 - (s / m) / limit, times how far the place stands out from
 * the body's median, for muscle and urine; halved for myometrium, for a lesion may lie beside other tissue.
 *
 * <p>Source: common practice, no source.
 */
public final class ReferenceProposal {
    private static final int STEP = 2;
    private static final int MOST_TRIES = 30;
    // Past the partial volume of the border, and within the myometrium that a growing lesion pushes before it.
    private static final double BESIDE_FROM_MM = 1.5;
    private static final double BESIDE_TO_MM = 4.5;
    // Share of what lies beside the lesion that is like its median; below it there are several tissues.
    private static final double ONE_TISSUE = 0.65;
    // Logarithm of the ratio of two signals of one tissue; of single voxels twice that.
    private static final double ALIKE = 0.2;

    private ReferenceProposal() {}

    public enum Tissue {
        MUSCLE,
        MYOMETRIUM,
        URINE
    }

    /** What became of the search for a tissue. */
    public sealed interface Proposal {}

    /**
     * A ball.
     *
     * @param confidence 0 to 1; how clearly the rule holds, not how likely it is to be right
     */
    public record Proposed(Point centre, double radiusMm, double confidence) implements Proposal {}

    public record None(String reason) implements Proposal {}

    /**
     * @param radiusMm of the balls for muscle and urine; that for myometrium has 0.6 of it
     * @param calm largest s / m
     * @param body least m of the body, over the 90th percentile of the image
     * @param bright least m of urine over the body's median
     * @param ringMm how far outside the lesion's border myometrium is looked for
     */
    public record Settings(double radiusMm, double calm, double body, double bright, double ringMm) {
        public Settings {
            if (!(radiusMm > 0 && calm > 0 && body > 0 && bright > 0 && ringMm > 0))
                throw new IllegalArgumentException("settings must be above 0, got " + radiusMm + ", " + calm + ", "
                        + body + ", " + bright + ", " + ringMm);
        }

        public static Settings standard() {
            return new Settings(7, 0.15, 0.06, 1.6, 10);
        }
    }

    /** A place that a ball could have. */
    private record Place(int x, int y, int z, double mean, double spread, double distance) {
        double calm() {
            return spread / mean;
        }
    }

    public static Map<Tissue, Proposal> propose(Volume t2, Mask lesion, Settings settings, Workers workers) {
        if (!lesion.grid().size().equals(t2.grid().size()))
            throw new IllegalArgumentException("lesion must have the image's size "
                    + t2.grid().size() + ", got " + lesion.grid().size());
        if (lesion.isEmpty()) throw new IllegalArgumentException("lesion must hold a voxel, got none");
        Map<Tissue, Proposal> found = new EnumMap<>(Tissue.class);
        Volume distance = DistanceTransform.toRegion(lesion, workers);
        List<Place> wide = places(t2, distance, settings.radiusMm(), settings, workers);
        List<Place> narrow = places(t2, distance, 0.6 * settings.radiusMm(), settings, workers);
        double median = median(wide);
        Point middle = middle(lesion);
        Grid grid = t2.grid();
        double away = settings.radiusMm() + 2;
        List<Place> muscle = wide.stream()
                .filter(p -> p.distance() > away && p.mean() < 0.8 * median)
                .filter(p -> isBesideOrBehind(at(grid, p), middle))
                .sorted(Comparator.comparingDouble(p -> p.mean() * (1 + p.calm())))
                .toList();
        found.put(Tissue.MUSCLE, first(Tissue.MUSCLE, t2, lesion, muscle, settings, settings.radiusMm(), median));
        List<Place> urine = wide.stream()
                .filter(p -> p.distance() > away && p.mean() > settings.bright() * median)
                .filter(p -> isBeforeOrBelow(at(grid, p), middle))
                .sorted(Comparator.comparingDouble(p -> -p.mean() * (1 - p.calm())))
                .toList();
        found.put(Tissue.URINE, first(Tissue.URINE, t2, lesion, urine, settings, settings.radiusMm(), median));
        double small = 0.6 * settings.radiusMm();
        double dark = mean(t2, found.get(Tissue.MUSCLE), 0);
        double bright = mean(t2, found.get(Tissue.URINE), Double.POSITIVE_INFINITY);
        List<Place> between = narrow.stream()
                .filter(p -> p.distance() > small && p.distance() < small + settings.ringMm())
                .filter(p -> p.mean() > 1.2 * dark && p.mean() < 0.7 * bright)
                .toList();
        found.put(Tissue.MYOMETRIUM, myometrium(t2, lesion, beside(t2, distance), between, settings, median));
        return found;
    }

    private static Proposal myometrium(
            Volume t2, Mask lesion, double[] beside, List<Place> places, Settings settings, double median) {
        double b = beside.length == 0 ? 0 : beside[beside.length / 2];
        double alike =
                Arrays.stream(beside).filter(v -> unlike(v, b) < 2 * ALIKE).count();
        if (!(alike >= ONE_TISSUE * beside.length && b > 0))
            return new None(String.format(
                    Locale.ROOT,
                    "no place looks like myometrium: what lies beside the lesion is not one tissue, %.0f %% of it is alike,"
                            + " %.0f %% needed",
                    100 * alike / Math.max(1, beside.length),
                    100 * ONE_TISSUE));
        List<Place> like = places.stream()
                .filter(p -> unlike(p.mean(), b) < ALIKE)
                .sorted(Comparator.comparingDouble(p -> p.calm() + unlike(p.mean(), b)))
                .toList();
        return first(Tissue.MYOMETRIUM, t2, lesion, like, settings, 0.6 * settings.radiusMm(), median);
    }

    private static double unlike(double signal, double other) {
        return Math.abs(Math.log(signal / other));
    }

    // Ascending.
    private static double[] beside(Volume t2, Volume distance) {
        float[] from = distance.voxels();
        float[] signal = t2.voxels();
        return IntStream.range(0, from.length)
                .filter(i -> from[i] > BESIDE_FROM_MM && from[i] <= BESIDE_TO_MM && signal[i] > 0)
                .mapToDouble(i -> signal[i])
                .sorted()
                .toArray();
    }

    // LPS: x to the left, y to the back, z to the head
    private static boolean isBesideOrBehind(Point p, Point middle) {
        return p.y() > middle.y() || Math.abs(p.x() - middle.x()) > Math.abs(p.y() - middle.y());
    }

    private static boolean isBeforeOrBelow(Point p, Point middle) {
        return p.y() < middle.y() || p.z() < middle.z();
    }

    private static Point at(Grid grid, Place p) {
        return grid.point(p.x(), p.y(), p.z());
    }

    private static Point middle(Mask lesion) {
        Grid grid = lesion.grid();
        Size size = grid.size();
        double x = 0;
        double y = 0;
        double z = 0;
        for (int i = 0; i < lesion.voxels().length; i++) {
            if (lesion.voxels()[i] == 0) continue;
            x += i % size.x();
            y += i / size.x() % size.y();
            z += i / size.x() / size.y();
        }
        return grid.point(x / lesion.count(), y / lesion.count(), z / lesion.count());
    }

    private static List<Place> places(Volume t2, Volume distance, double radiusMm, Settings settings, Workers workers) {
        GaussianSmoothing.Settings around = new GaussianSmoothing.Settings(radiusMm / 2, radiusMm / 2, radiusMm / 2, 2);
        float[] squares = t2.voxels().clone();
        for (int i = 0; i < squares.length; i++) squares[i] *= squares[i];
        float[] mean = GaussianSmoothing.smooth(t2, around, workers).voxels();
        float[] square = GaussianSmoothing.smooth(new Volume(t2.grid(), squares), around, workers)
                .voxels();
        double least = settings.body() * percentile90(mean);
        Grid grid = t2.grid();
        Size size = grid.size();
        int marginX = (int) Math.ceil(radiusMm / grid.spacing().x());
        int marginY = (int) Math.ceil(radiusMm / grid.spacing().y());
        int marginZ =
                Math.min((size.z() - 1) / 2, (int) (radiusMm / grid.spacing().z()));
        List<Place> places = new ArrayList<>();
        for (int z = marginZ; z < size.z() - marginZ; z++)
            for (int y = marginY; y < size.y() - marginY; y += STEP)
                for (int x = marginX; x < size.x() - marginX; x += STEP) {
                    int i = grid.offset(x, y, z);
                    double m = mean[i];
                    double s = Math.sqrt(Math.max(0, square[i] - m * m));
                    if (m > least && s <= settings.calm() * m)
                        places.add(new Place(x, y, z, m, s, distance.voxels()[i]));
                }
        return places;
    }

    private static double percentile90(float[] values) {
        float[] some = new float[values.length / 11 + 1];
        int n = 0;
        for (int i = 0; i < values.length; i += 11) if (Float.isFinite(values[i])) some[n++] = values[i];
        Arrays.sort(some, 0, n);
        return n == 0 ? Double.POSITIVE_INFINITY : some[(int) (0.9 * (n - 1))];
    }

    private static double median(List<Place> places) {
        double[] means = places.stream().mapToDouble(Place::mean).sorted().toArray();
        return means.length == 0 ? 0 : means[means.length / 2];
    }

    private static double mean(Volume t2, Proposal proposal, double otherwise) {
        if (!(proposal instanceof Proposed ball)) return otherwise;
        Index i = t2.grid().index(ball.centre());
        return t2.at((int) Math.round(i.x()), (int) Math.round(i.y()), (int) Math.round(i.z()));
    }

    private static Proposal first(
            Tissue tissue,
            Volume t2,
            Mask lesion,
            List<Place> places,
            Settings settings,
            double radiusMm,
            double median) {
        for (int k = 0; k < Math.min(MOST_TRIES, places.size()); k++) {
            Place p = places.get(k * Math.max(1, places.size() / MOST_TRIES / 10));
            Mask ball = ReferenceRegion.ball(t2.grid(), at(t2.grid(), p), radiusMm);
            if (overlaps(ball, lesion)) continue;
            if (!(ReferenceRegion.measure(t2, ball, ReferenceRegion.Settings.standard())
                    instanceof ReferenceRegion.Accepted)) continue;
            double calm = 1 - p.calm() / settings.calm();
            double apart = Math.min(1, Math.abs(Math.log(p.mean() / median)) / Math.log(2));
            double confidence = tissue == Tissue.MYOMETRIUM ? 0.5 * calm : calm * apart;
            return new Proposed(at(t2.grid(), p), radiusMm, confidence);
        }
        return new None(String.format(
                Locale.ROOT,
                "no place looks like %s: %d calm places where it could lie, none of them fit",
                tissue.name().toLowerCase(Locale.ROOT),
                places.size()));
    }

    private static boolean overlaps(Mask ball, Mask lesion) {
        for (int i = 0; i < ball.voxels().length; i++) if ((ball.voxels()[i] & lesion.voxels()[i]) != 0) return true;
        return false;
    }
}
