// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** The search for the correspondence that maximises the mutual information, from coarse to fine. */
final class Search {
    private static final double[] SIGMAS = {1.2, 2.5, 5};
    private static final double BORDER_MM = 15;
    private static final int CLIMBS = 4;
    private static final double STEP_MM = 8;
    private static final int SEARCH_SAMPLES = 5000;
    // Summits nearer to each other are one.
    private static final double SAME_MM = 2;
    // A coefficient of 3 mm counts as one standard deviation against some ten thousand independent samples.
    private static final double RIDGE = 1.0 / (2 * 3 * 3 * 20_000);

    private final Neighbourhood near;
    private final Alignment.Settings settings;
    private final Workers workers;

    Search(Neighbourhood near, Alignment.Settings settings, Workers workers) {
        this.near = near;
        this.settings = settings;
        this.workers = workers;
    }

    /**
     * @param before what the patient coordinates are worth
     * @param best the highest summit
     * @param curvature of it, where it is a maximum
     * @param refinedMm how far the finest level moved the lesion, in mm
     * @param rivals other summits, highest first
     */
    record Found(
            MutualInformation.Evaluation before,
            Ascent.Summit best,
            Optional<Curvature> curvature,
            double refinedMm,
            List<Ascent.Summit> rivals) {}

    Found run(Volume fixed, Volume moving, Progress progress) {
        Correspondence here = Correspondence.identity(near.centre());
        List<MutualInformation> levels =
                levels(fixed, moving.crop(near.within(moving.grid(), settings.largestShiftMm())));
        MutualInformation fine = levels.get(0);
        progress.at(0.3);
        List<Ascent.Summit> coarse = search(here, levels.get(2));
        progress.at(0.5);
        List<Ascent.Summit> middle = climb(levels.get(1), highest(coarse), 4, 0.05, 20);
        progress.at(0.7);
        List<Ascent.Summit> top = climb(fine, highest(middle), 2, 0.01, 20);
        progress.at(0.9);
        Ascent.Summit best = withDistortion(fine, top.get(0));
        Optional<Curvature> curvature = Curvature.of(fine, best, near.radiusMm(), workers);
        if (curvature.isPresent())
            best = Ascent.onward(fine, best, curvature.get().step());
        double refined = near.apart(middle.get(0).at(), top.get(0).at());
        progress.at(1);
        return new Found(fine.derivatives(here), best, curvature, refined, top.subList(1, top.size()));
    }

    // Fine to coarse; both images at once.
    private List<MutualInformation> levels(Volume fixed, Volume moving) {
        Box border = near.box(BORDER_MM);
        Volume cut = fixed.crop(border);
        Box inCut = near.box().shift(-border.minX(), -border.minY(), -border.minZ());
        List<List<Volume>> pyramids = workers.map(2, i -> Pyramid.of(i == 0 ? cut : moving, SIGMAS, Workers.SINGLE));
        int bins = settings.bins();
        int[] wanted = {settings.samples(), settings.samples() / 2, SEARCH_SAMPLES};
        Seed seed = new Seed(settings.seed());
        List<SplineImage> splines = workers.map(
                2 * SIGMAS.length,
                i -> SplineImage.of(
                        i % 2 == 0
                                ? pyramids.get(0).get(i / 2)
                                : MutualInformation.levels(pyramids.get(1).get(i / 2), bins)));
        return workers.map(SIGMAS.length, i -> {
            Samples drawn = Samples.draw(cut, splines.get(2 * i), inCut, near.centre(), wanted[i], bins, seed.draw(i));
            return new MutualInformation(drawn, splines.get(2 * i + 1), bins, RIDGE, workers);
        });
    }

    // Shifts on a lattice; then uphill from the best of them and from where the patient coordinates are.
    private List<Ascent.Summit> search(Correspondence here, MutualInformation coarse) {
        int reach = (int) Math.round(settings.largestShiftMm() * 0.7 / STEP_MM);
        int edge = 2 * reach + 1;
        List<Double> values = workers.map(edge * edge * edge, n -> {
            MutualInformation.Evaluation e = coarse.value(shifted(here, n, edge, reach));
            return e.overlap < Alignment.SMALLEST_OVERLAP ? 0 : e.value;
        });
        List<Integer> order = new ArrayList<>();
        for (int n = 0; n < values.size(); n++) order.add(n);
        order.sort((a, b) -> Double.compare(values.get(b), values.get(a)));
        List<Correspondence> starts = new ArrayList<>(List.of(here));
        for (int n : order) {
            Correspondence at = shifted(here, n, edge, reach);
            if (starts.size() > CLIMBS) break;
            if (starts.stream().allMatch(s -> near.apart(s, at) > STEP_MM + 0.1)) starts.add(at);
        }
        return climb(coarse, starts, 8, 0.2, 20);
    }

    private Correspondence shifted(Correspondence here, int n, int edge, int reach) {
        Vector step = new Vector(n % edge - reach, n / edge % edge - reach, n / (edge * edge) - reach);
        RigidTransform moved = RigidTransform.of(new Vector(0, 0, 0), near.centre(), step.times(STEP_MM));
        return new Correspondence(moved, here.distortion());
    }

    // Of the two highest.
    private static List<Correspondence> highest(List<Ascent.Summit> summits) {
        return summits.stream().limit(2).map(Ascent.Summit::at).toList();
    }

    // Summits, highest first, each once.
    private List<Ascent.Summit> climb(
            MutualInformation similarity, List<Correspondence> starts, double longestMm, double shortestMm, int steps) {
        List<Ascent.Summit> summits = workers.map(
                starts.size(),
                i -> Ascent.climb(similarity, starts.get(i), near.radiusMm(), longestMm, shortestMm, steps));
        List<Ascent.Summit> sorted = new ArrayList<>(summits);
        sorted.sort((a, b) -> Double.compare(b.evaluation().value, a.evaluation().value));
        List<Ascent.Summit> distinct = new ArrayList<>();
        for (Ascent.Summit s : sorted)
            if (distinct.stream().allMatch(d -> near.apart(d.at(), s.at()) > SAME_MM)) distinct.add(s);
        return distinct;
    }

    private Ascent.Summit withDistortion(MutualInformation fine, Ascent.Summit rigid) {
        if (!(settings.model() instanceof Alignment.Model.EchoPlanar epi)) return rigid;
        EchoPlanarShift flat = EchoPlanarShift.flat(epi.phaseEncoding().unit(), near.centre(), near.radiusMm());
        return Ascent.climb(fine, new Correspondence(rigid.at().motion(), flat), near.radiusMm(), 1.5, 0.01, 25);
    }
}
