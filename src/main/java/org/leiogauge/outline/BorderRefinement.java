// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import org.leiogauge.image.Mask;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * A drawn border moved to where the images have one, by two methods that share nothing but the neighbourhood.
 *
 * <p>Only voxels within {@code moveMm} of the drawn border are open, twice that across slices; corrections hold. The
 * probability is the methods' weighted mean; the region is where it is one half or more, its surface smoothed, without pieces
 * that touch no settled voxel and with holes that touch none filled. Both sides looking alike along the border,
 * or a border that contradicts the images more than the drawn one, leaves the drawn region as it was; a decision says so.
 * Cost: linear in the voxels of the neighbourhood.
 *
 * <p>Source: the methods' own; to join them by the mean: common practice, no source.
 */
public final class BorderRefinement {
    private BorderRefinement() {}

    /** Which methods are asked. */
    public enum Method {
        BOTH,
        RANDOM_WALK,
        ACTIVE_SURFACE
    }

    /**
     * @param moveMm how far the border may move within a slice, in mm; twice that across slices
     * @param smoothMm standard deviation of the Gaussian that takes noise off the images first, in mm; what it takes away is
     *     smoothed again, so that bent borders keep their place
     * @param leastSeparation separation below which there is no border to be found, 0 to 1; that of the random walk where
     *     both methods are asked, since it misses no kind of difference
     */
    public record Settings(Method method, double moveMm, double smoothMm, double leastSeparation) {
        public Settings {
            if (method == null) throw new IllegalArgumentException("method must be named");
            if (!(moveMm > 0 && moveMm <= 50))
                throw new IllegalArgumentException("moveMm must be above 0, up to 50, got " + moveMm);
            if (!(smoothMm >= 0 && smoothMm <= 5))
                throw new IllegalArgumentException("smoothMm must be 0 to 5, got " + smoothMm);
            if (!(leastSeparation >= 0 && leastSeparation <= 1))
                throw new IllegalArgumentException("leastSeparation must be 0 to 1, got " + leastSeparation);
        }

        public static Settings standard() {
            return new Settings(Method.BOTH, 6, 0.65, 0.25);
        }
    }

    private static final double CONTEXT_MM = 8;
    // Of the step across the drawn border: below it the new one contradicts the images.
    private static final double LEAST_STEP = 0.95;

    public static Refined refine(Rough rough, Settings settings, Workers workers, Progress progress) {
        Band band = Band.around(rough, settings.moveMm(), CONTEXT_MM, settings.smoothMm(), workers);
        List<Refinement> methods = methods(settings.method());
        List<Refinement.Found> found = new ArrayList<>();
        for (int i = 0; i < methods.size(); i++) {
            Progress part = progress.part((double) i / methods.size(), (i + 1.0) / methods.size());
            found.add(methods.get(i).inside(band, workers, part));
        }
        float[] p = joined(found, band.open.length);
        byte[] inside = BorderTidying.tidy(band, SurfaceSmoothing.smooth(band, band.inside(p), workers));
        byte[] disputed = disputed(band, found);
        List<String> decisions = new ArrayList<>(described(band, settings, rough));
        String refusal = refusal(band, found, inside, settings);
        if (!refusal.isEmpty()) {
            decisions.add("the border was left as drawn: " + refusal);
            Mask drawn = band.corrected(rough.mask());
            return new Refined(
                    drawn,
                    drawn.asVolume(),
                    new Mask(rough.mask().grid(), new byte[rough.mask().voxels().length]),
                    decisions);
        }
        Mask mask = band.onto(rough.mask(), inside);
        decisions.add(moved(rough.mask(), mask, methods, disputed));
        return new Refined(
                mask,
                band.probability(rough.mask(), p, inside),
                band.onto(new Mask(mask.grid(), new byte[mask.voxels().length]), disputed),
                decisions);
    }

    private static List<Refinement> methods(Method method) {
        Refinement walk = new RandomWalk(RandomWalk.Settings.standard());
        Refinement surface = new ActiveSurface(ActiveSurface.Settings.standard());
        return switch (method) {
            case BOTH -> List.of(walk, surface);
            case RANDOM_WALK -> List.of(walk);
            case ACTIVE_SURFACE -> List.of(surface);
        };
    }

    // The more weight the clearer a method's own kind of difference is.
    private static float[] joined(List<Refinement.Found> found, int count) {
        double all = 0;
        for (Refinement.Found one : found) all += one.weight();
        float[] p = new float[count];
        for (Refinement.Found one : found)
            for (int j = 0; j < count; j++) p[j] += (float) (one.weight() / all) * one.probability()[j];
        return p;
    }

    private static byte[] disputed(Band band, List<Refinement.Found> found) {
        byte[] disputed = new byte[band.place.length];
        float[] first = found.get(0).probability();
        for (Refinement.Found one : found)
            for (int j = 0; j < first.length; j++)
                if (one.probability()[j] >= 0.5 != first[j] >= 0.5) disputed[band.open[j]] = 1;
        return disputed;
    }

    /** Why the drawn border is to be kept; empty if it is not. */
    private static String refusal(Band band, List<Refinement.Found> found, byte[] inside, Settings settings) {
        if (band.open.length == 0) return "no voxel is open to change";
        double separation = found.get(0).separation();
        if (separation < settings.leastSeparation())
            return String.format(
                    Locale.ROOT,
                    "both sides of it look alike, separation %.2f, %.2f needed",
                    separation,
                    settings.leastSeparation());
        int count = 0;
        for (byte voxel : inside) count += voxel;
        if (count == 0) return "nothing would remain";
        double drawn = BorderTidying.step(band, band.drawn());
        double now = BorderTidying.step(band, inside);
        return now < LEAST_STEP * drawn
                ? String.format(
                        Locale.ROOT, "the images step by %.3g across it, by %.3g across the new one", drawn, now)
                : "";
    }

    private static List<String> described(Band band, Settings settings, Rough rough) {
        List<String> decisions = new ArrayList<>();
        if (band.moveMm < settings.moveMm())
            decisions.add(String.format(
                    Locale.ROOT,
                    "the border may move by %.1f mm in place of %.1f: the lesion is small",
                    band.moveMm,
                    settings.moveMm()));
        if (!rough.add().isEmpty() || !rough.remove().isEmpty())
            decisions.add("corrections of the reader hold: " + rough.add().count() + " voxels added, "
                    + rough.remove().count() + " removed");
        return decisions;
    }

    private static String moved(Mask from, Mask to, List<Refinement> methods, byte[] disputed) {
        int gained = 0;
        int lost = 0;
        for (int i = 0; i < from.voxels().length; i++) {
            int change = to.voxels()[i] - from.voxels()[i];
            if (change > 0) gained++;
            if (change < 0) lost++;
        }
        int doubt = 0;
        for (byte voxel : disputed) doubt += voxel;
        double millilitres = from.grid().voxelVolume() / 1000;
        return String.format(
                Locale.ROOT,
                "the border was refined by %s: %.2f mL gained, %.2f mL lost of %.2f mL drawn, %.2f mL in dispute",
                String.join(" and ", methods.stream().map(Refinement::title).toList()),
                gained * millilitres,
                lost * millilitres,
                from.count() * millilitres,
                doubt * millilitres);
    }
}
