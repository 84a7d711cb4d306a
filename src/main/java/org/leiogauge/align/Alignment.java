// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Where two series of one patient show the same place, around one lesion.
 *
 * <p>Patient coordinates come first; then the movement between the series that maximises the mutual information of both
 * images in the lesion's box and a margin, from coarse to fine. The patient coordinates stand, and the result says why,
 * when the moving image covers too little of the box, when the movement found is larger than patients move on the table,
 * when another movement explains the images as well, when the uncertainty is above a limit, or when the gain is within
 * its own scatter.
 *
 * <p>Residual: the uncertainty of the correspondence, as root mean square over the lesion, in mm. Parameters' covariance
 * H⁻¹ (Σ g gᵀ) H⁻¹, with H the curvature and g the gradients of 64 blocks of the region: blocks that pull in different
 * directions, through noise or through a movement that isn't this one's kind, widen it. With it goes how far the last
 * refinement, to twice the fineness, still moved the lesion, which shows the pull of shading and thick slices. Where the patient coordinates
 * stand though a movement was found, the residual holds that movement too.
 *
 * <p>Cost: samples × steps; about 40 steps in all.
 *
 * <p>Source: Mattes et al. 2003, doi:10.1109/TMI.2003.809072; sandwich covariance with blocks: White 1982,
 * doi:10.2307/1912526; limits: common practice, no source.
 */
public final class Alignment {
    private static final double[] SIGMAS = {1.2, 2.5, 5};
    private static final double SMALLEST_OVERLAP = 0.5;
    private static final int CLIMBS = 4;
    private static final double STEP_MM = 8;
    private static final int SEARCH_SAMPLES = 5000;
    // A coefficient of 3 mm counts as one standard deviation against some ten thousand independent samples.
    private static final double RIDGE = 1.0 / (2 * 3 * 3 * 20_000);

    private Alignment() {}

    /** What may have come between the two series. */
    public sealed interface Model {
        /** The patient moved. */
        record Rigid() implements Model {}

        /**
         * The patient moved, and the moving series is echo-planar.
         *
         * @param phaseEncoding direction in patient space along which it displaces
         */
        record EchoPlanar(Vector phaseEncoding) implements Model {}
    }

    /**
     * @param marginMm how far around the lesion the images are looked at
     * @param largestShiftMm of the lesion's centre; more is not believed
     * @param largestTurnDegrees more is not believed
     * @param largestResidualMm more is not believed
     * @param samples at the finest level
     * @param bins of the histogram along each axis, 8 to 100
     * @param gainDeviations by how many standard deviations the similarity must rise
     */
    public record Settings(
            Model model,
            double marginMm,
            double largestShiftMm,
            double largestTurnDegrees,
            double largestResidualMm,
            int samples,
            int bins,
            double gainDeviations,
            long seed) {
        public Settings {
            if (!(marginMm >= 0 && marginMm < 1000))
                throw new IllegalArgumentException("marginMm must be 0 to 1000, got " + marginMm);
            if (!(largestShiftMm > 0 && largestTurnDegrees > 0 && largestResidualMm > 0 && gainDeviations >= 0))
                throw new IllegalArgumentException("limits must be > 0, got " + largestShiftMm + ", "
                        + largestTurnDegrees + ", " + largestResidualMm + ", " + gainDeviations);
            if (samples < 1000 || samples > 10_000_000)
                throw new IllegalArgumentException("samples must be 1000 to 10 million, got " + samples);
            if (bins < 8 || bins > 100) throw new IllegalArgumentException("bins must be 8 to 100, got " + bins);
        }

        public static Settings standard(Model model) {
            return new Settings(model, 25, 25, 15, 2, 60_000, 32, 3, 1);
        }
    }

    /** How it ended. */
    public enum Outcome {
        IMPROVED,
        LITTLE_OVERLAP,
        IMPLAUSIBLE,
        AMBIGUOUS,
        UNCERTAIN,
        NO_GAIN;

        public boolean isImproved() {
            return this == IMPROVED;
        }
    }

    /**
     * @param correspondence from the fixed series to the moving one: the one found, or the patient coordinates
     * @param decision one sentence for the report
     * @param residualMm root mean square over the lesion, in mm
     * @param found what the images favour, believed or not
     * @param before mutual information of the patient coordinates, in nat
     * @param after mutual information of what was found, in nat
     */
    public record Result(
            Correspondence correspondence,
            Outcome outcome,
            String decision,
            Measurement residualMm,
            Correspondence found,
            double before,
            double after) {}

    /**
     * @param lesion on the fixed image's grid, not empty
     * @throws IllegalArgumentException if the lesion is empty or on a grid of another size
     */
    public static Result align(
            Volume fixed, Volume moving, Mask lesion, Settings settings, Workers workers, Progress progress) {
        if (!lesion.grid().size().equals(fixed.grid().size()))
            throw new IllegalArgumentException("lesion must have the fixed image's size "
                    + fixed.grid().size() + ", got " + lesion.grid().size());
        Box inner = lesion.boundingBox().orElseThrow(() -> new IllegalArgumentException("lesion must not be empty"));
        return new Work(fixed, moving, lesion, inner, settings, workers, progress).run();
    }

    private static final class Work {
        private final Volume fixed;
        private final Volume moving;
        private final Mask lesion;
        private final Settings settings;
        private final Workers workers;
        private final Progress progress;
        private final Box box;
        private final Point centre;
        private final double radiusMm;
        private final List<Point> places;

        Work(
                Volume fixed,
                Volume moving,
                Mask lesion,
                Box inner,
                Settings settings,
                Workers workers,
                Progress progress) {
            this.fixed = fixed;
            this.moving = moving;
            this.lesion = lesion;
            this.settings = settings;
            this.workers = workers;
            this.progress = progress;
            Grid grid = fixed.grid();
            this.box = wider(grid, inner, settings.marginMm()).clip(grid.size());
            this.centre = grid.point(
                    (inner.minX() + inner.maxX()) / 2.0,
                    (inner.minY() + inner.maxY()) / 2.0,
                    (inner.minZ() + inner.maxZ()) / 2.0);
            this.radiusMm = grid.point(box.minX(), box.minY(), box.minZ())
                            .distance(grid.point(box.maxX(), box.maxY(), box.maxZ()))
                    / 3;
            this.places = places(inner);
        }

        private static Box wider(Grid grid, Box box, double mm) {
            Spacing s = grid.spacing();
            return box.grow((int) Math.ceil(mm / s.x()), (int) Math.ceil(mm / s.y()), (int) Math.ceil(mm / s.z()));
        }

        // Up to some hundreds of the lesion's voxels, evenly over it.
        private List<Point> places(Box inner) {
            List<Point> all = new ArrayList<>();
            int step = Math.max(1, lesion.count() / 500);
            int seen = 0;
            for (int z = inner.minZ(); z <= inner.maxZ(); z++)
                for (int y = inner.minY(); y <= inner.maxY(); y++)
                    for (int x = inner.minX(); x <= inner.maxX(); x++)
                        if (lesion.has(x, y, z) && seen++ % step == 0)
                            all.add(fixed.grid().point(x, y, z));
            return all;
        }

        Result run() {
            Correspondence here = Correspondence.identity(centre);
            Grid grid = moving.grid();
            if (share(grid) < SMALLEST_OVERLAP) return none(here);
            Box part = within(grid);
            Volume near = moving.crop(part);
            Box border =
                    wider(fixed.grid(), box, 3 * SIGMAS[0]).clip(fixed.grid().size());
            Volume cut = fixed.crop(border);
            Box inCut = box.shift(-border.minX(), -border.minY(), -border.minZ());
            List<MutualInformation> levels = levels(cut, inCut, near);
            progress.at(0.3);
            List<Ascent.Summit> summits = search(here, levels.get(2));
            progress.at(0.5);
            List<Ascent.Summit> higher = climb(levels.get(1), places(summits), 4, 0.05, 20);
            progress.at(0.7);
            List<Ascent.Summit> top = climb(levels.get(0), places(higher), 2, 0.01, 20);
            progress.at(0.9);
            Ascent.Summit best = withDistortion(levels.get(0), top.get(0));
            Optional<Curvature> curvature = Curvature.of(levels.get(0), best, radiusMm, workers);
            if (curvature.isPresent())
                best = Ascent.onward(levels.get(0), best, curvature.get().step());
            Result result = judge(
                    here,
                    levels.get(0).derivatives(here),
                    best,
                    curvature,
                    top,
                    higher.get(0).at());
            progress.at(1);
            return result;
        }

        // Fine to coarse; both images at once.
        private List<MutualInformation> levels(Volume cut, Box inCut, Volume near) {
            List<List<Volume>> pyramids = workers.map(2, i -> Pyramid.of(i == 0 ? cut : near, SIGMAS, Workers.SINGLE));
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
                Samples drawn = Samples.draw(cut, splines.get(2 * i), inCut, centre, wanted[i], bins, seed.draw(i));
                return new MutualInformation(drawn, splines.get(2 * i + 1), bins, RIDGE, workers);
            });
        }

        // How much of the box the moving image covers by patient coordinates.
        private double share(Grid grid) {
            int in = 0;
            int all = 0;
            for (int k = 0; k < 10; k++)
                for (int j = 0; j < 10; j++)
                    for (int i = 0; i < 10; i++, all++)
                        if (grid.contains(fixed.grid()
                                .point(
                                        box.minX() + (i + 0.5) * box.size().x() / 10 - 0.5,
                                        box.minY() + (j + 0.5) * box.size().y() / 10 - 0.5,
                                        box.minZ() + (k + 0.5) * box.size().z() / 10 - 0.5))) in++;
            return (double) in / all;
        }

        // The moving image's voxels that a believable movement can bring into the box.
        private Box within(Grid grid) {
            double[] low = {1e9, 1e9, 1e9};
            double[] high = {-1e9, -1e9, -1e9};
            for (int corner = 0; corner < 8; corner++) {
                Index i = grid.index(fixed.grid()
                        .point(
                                (corner & 1) == 0 ? box.minX() : box.maxX(),
                                (corner & 2) == 0 ? box.minY() : box.maxY(),
                                (corner & 4) == 0 ? box.minZ() : box.maxZ()));
                double[] at = {i.x(), i.y(), i.z()};
                for (int a = 0; a < 3; a++) {
                    low[a] = Math.min(low[a], at[a]);
                    high[a] = Math.max(high[a], at[a]);
                }
            }
            Box tight = new Box(
                    (int) Math.floor(low[0]),
                    (int) Math.floor(low[1]),
                    (int) Math.floor(low[2]),
                    (int) Math.ceil(high[0]),
                    (int) Math.ceil(high[1]),
                    (int) Math.ceil(high[2]));
            return wider(grid, tight, settings.largestShiftMm()).clip(grid.size());
        }

        // Shifts on a lattice; then uphill from the best of them and from where the patient coordinates are.
        private List<Ascent.Summit> search(Correspondence here, MutualInformation coarse) {
            int reach = (int) Math.round(settings.largestShiftMm() * 0.7 / STEP_MM);
            int edge = 2 * reach + 1;
            List<Double> values = workers.map(edge * edge * edge, n -> {
                MutualInformation.Evaluation e = coarse.value(shifted(here, n, edge, reach));
                return e.overlap < SMALLEST_OVERLAP ? 0 : e.value;
            });
            List<Integer> order = new ArrayList<>();
            for (int n = 0; n < values.size(); n++) order.add(n);
            order.sort((a, b) -> Double.compare(values.get(b), values.get(a)));
            List<Correspondence> starts = new ArrayList<>(List.of(here));
            for (int n : order) {
                Correspondence at = shifted(here, n, edge, reach);
                if (starts.size() > CLIMBS) break;
                if (starts.stream().allMatch(s -> apart(s, at) > STEP_MM + 0.1)) starts.add(at);
            }
            return climb(coarse, starts, 8, 0.2, 20);
        }

        private Correspondence shifted(Correspondence here, int n, int edge, int reach) {
            Vector step = new Vector(n % edge - reach, n / edge % edge - reach, n / (edge * edge) - reach);
            RigidTransform moved = RigidTransform.of(new Vector(0, 0, 0), centre, step.times(STEP_MM));
            return new Correspondence(moved, here.distortion());
        }

        // Of the two highest.
        private static List<Correspondence> places(List<Ascent.Summit> summits) {
            return summits.stream().limit(2).map(Ascent.Summit::at).toList();
        }

        // Summits, highest first, each once.
        private List<Ascent.Summit> climb(
                MutualInformation similarity,
                List<Correspondence> starts,
                double longestMm,
                double shortestMm,
                int steps) {
            List<Ascent.Summit> summits = workers.map(
                    starts.size(),
                    i -> Ascent.climb(similarity, starts.get(i), radiusMm, longestMm, shortestMm, steps));
            List<Ascent.Summit> sorted = new ArrayList<>(summits);
            sorted.sort((a, b) -> Double.compare(b.evaluation().value, a.evaluation().value));
            List<Ascent.Summit> distinct = new ArrayList<>();
            for (Ascent.Summit s : sorted)
                if (distinct.stream().allMatch(d -> apart(d.at(), s.at()) > 2)) distinct.add(s);
            return distinct;
        }

        private Ascent.Summit withDistortion(MutualInformation fine, Ascent.Summit rigid) {
            if (!(settings.model() instanceof Model.EchoPlanar epi)) return rigid;
            EchoPlanarShift flat = EchoPlanarShift.flat(epi.phaseEncoding().unit(), centre, radiusMm);
            return Ascent.climb(fine, new Correspondence(rigid.at().motion(), flat), radiusMm, 1.5, 0.01, 25);
        }

        // Root mean square over the lesion, in mm.
        private double apart(Correspondence a, Correspondence b) {
            double sum = 0;
            for (Point p : places) {
                double d = a.apply(p).distance(b.apply(p));
                sum += d * d;
            }
            return Math.sqrt(sum / places.size());
        }

        private Result none(Correspondence here) {
            String why = "the moving image covers less than half of the lesion's neighbourhood";
            return new Result(
                    here,
                    Outcome.LITTLE_OVERLAP,
                    "Patient coordinates stand: " + why + ".",
                    new Measurement.NotMeasured(why),
                    here,
                    0,
                    0);
        }

        private Result judge(
                Correspondence here,
                MutualInformation.Evaluation before,
                Ascent.Summit best,
                Optional<Curvature> curvature,
                List<Ascent.Summit> top,
                Correspondence coarser) {
            double residual = Math.hypot(
                    apart(coarser, top.get(0).at()),
                    curvature.map(c -> c.uncertainty(places)).orElse(Double.NaN));
            double moved = apart(here, best.at());
            Vector shift = best.at().motion().shift();
            double turn = best.at().motion().turnDegrees();
            double gain = deviations(before, best.evaluation());
            Outcome outcome;
            String why;
            Measurement left = Measurement.of(Math.hypot(residual, moved), "the images do not tell");
            if (best.evaluation().overlap < SMALLEST_OVERLAP) {
                outcome = Outcome.LITTLE_OVERLAP;
                why = text(
                        "the movement found leaves %.0f %% of the neighbourhood in the image",
                        100 * best.evaluation().overlap);
            } else if (shift.length() > settings.largestShiftMm() || turn > settings.largestTurnDegrees()) {
                outcome = Outcome.IMPLAUSIBLE;
                why = text("the images favour a shift of %.1f mm and a turn of %.1f°", shift.length(), turn);
                left = new Measurement.NotMeasured(why);
            } else if (!(residual <= settings.largestResidualMm())) {
                outcome = Outcome.UNCERTAIN;
                why = text("the movement found is uncertain by %.1f mm", residual);
            } else if (top.size() > 1
                    && deviations(top.get(1).evaluation(), best.evaluation()) < settings.gainDeviations()) {
                outcome = Outcome.AMBIGUOUS;
                why = text(
                        "two movements, %.1f mm apart, explain the images equally well",
                        apart(top.get(0).at(), top.get(1).at()));
                left = new Measurement.NotMeasured(why);
            } else if (gain < settings.gainDeviations()) {
                outcome = Outcome.NO_GAIN;
                why = text("a movement by %.1f mm would explain the images no better", moved);
            } else {
                String decision = text(
                        "Moved by %.1f mm and %.1f°: mutual information rose from %.3f to %.3f (%.1f standard"
                                + " deviations); %.1f mm remain.",
                        shift.length(), turn, before.value, best.evaluation().value, gain, residual);
                return new Result(
                        best.at(),
                        Outcome.IMPROVED,
                        decision,
                        Measurement.of(residual, "the images do not tell"),
                        best.at(),
                        before.value,
                        best.evaluation().value);
            }
            return new Result(
                    here,
                    outcome,
                    "Patient coordinates stand: " + why + ".",
                    left,
                    best.at(),
                    before.value,
                    best.evaluation().value);
        }

        private static String text(String format, Object... values) {
            return String.format(Locale.ROOT, format, values);
        }

        /** Rise of the similarity over its standard error, from its scatter between the blocks. */
        private static double deviations(MutualInformation.Evaluation from, MutualInformation.Evaluation to) {
            int blocks = 0;
            double sum = 0;
            double square = 0;
            for (int b = 0; b < to.blockCount.length && b < from.blockCount.length; b++) {
                if (to.blockCount[b] == 0 || from.blockCount[b] == 0) continue;
                double gain = to.blockScore[b] / to.blockCount[b] - from.blockScore[b] / from.blockCount[b];
                blocks++;
                sum += gain;
                square += gain * gain;
            }
            if (blocks < 2 || square == 0) return 0;
            double mean = sum / blocks;
            double variance = (square / blocks - mean * mean) * blocks / (blocks - 1);
            return mean / Math.sqrt(variance / blocks);
        }
    }
}
