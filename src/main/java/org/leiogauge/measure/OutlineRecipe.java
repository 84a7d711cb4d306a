// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.align.Alignment;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.BetweenSlices;
import org.leiogauge.outline.BorderRefinement;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.outline.Refined;
import org.leiogauge.outline.Rough;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** From a rough outline of a study to the refined region: what every front end calls. */
public final class OutlineRecipe {
    private static final double SAME_PLACE_MM = 1e-3;

    private OutlineRecipe() {}

    /**
     * What came of it.
     *
     * @param outline as drawn
     * @param filled filled in between its slices
     * @param refined the region; the filled one where the settings leave refinement out
     * @param decisions all that was decided for the reader, in order
     */
    public record Result(Study study, Outline outline, Mask filled, Refined refined, List<String> decisions) {
        public Result {
            decisions = List.copyOf(decisions);
        }
    }

    /** @throws InputException if study or outline are not usable, or do not belong together */
    public static Result run(OutlineRequest request, Workers workers, Progress progress) throws InputException {
        if (RoughFile.isNamedSo(request.rough()) && request.roi().isPresent())
            throw new InputException(
                    request.rough(), "roi", request.roi().get(), "none: a click, an ellipse or areas bear no name");
        Study study = Study.open(request.study(), workers, progress.part(0, 0.2));
        Outline outline = RoughFile.isNamedSo(request.rough())
                ? RoughFile.read(request.rough(), study, workers, progress.part(0.2, 0.4))
                : OutlineFile.read(request.rough(), request.roi(), study, workers, progress.part(0.2, 0.4));
        List<String> decisions = new ArrayList<>(study.decisions());
        decisions.addAll(outline.decisions());
        Mask filled = filled(outline, decisions, workers);
        Map<String, Mask> others =
                RoughFile.isNamedSo(request.rough()) ? Map.of() : OutlineFile.others(request.rough(), outline);
        Neighbours neighbours = Neighbours.of(
                outline, filled, others, request.settings().border().moveMm(), workers);
        decisions.addAll(neighbours.decisions());
        Refined refined = request.settings().refine()
                ? BorderRefinement.refine(
                        neighbours.apart(rough(
                                study,
                                outline,
                                filled,
                                request.settings(),
                                decisions,
                                workers,
                                progress.part(0.4, 0.6))),
                        request.settings().border(),
                        workers,
                        progress.part(0.6, 1))
                : asDrawn(filled);
        decisions.addAll(refined.decisions());
        return new Result(study, outline, filled, refined, decisions);
    }

    /**
     * What refinement of an outline starts from, for who refines more than once: its region filled in between its slices, and
     * the images on which the border is looked for.
     *
     * @param decisions where what was decided for the reader goes
     * @throws InputException if another series that has a say is not usable
     */
    public static Rough prepare(
            Study study,
            Outline outline,
            OutlineSettings settings,
            List<String> decisions,
            Workers workers,
            Progress progress)
            throws InputException {
        Mask filled = filled(outline, decisions, workers);
        return rough(study, outline, filled, settings, decisions, workers, progress);
    }

    /**
     * Agreement of the region with a known true one.
     *
     * @param truth a region on the grid of the outline's series
     * @throws InputException if it is not usable or lies on another series
     */
    public static OutlineAgreement.Agreement agreement(
            Result result, Mask region, Path truth, Optional<String> roi, Workers workers) throws InputException {
        Outline known = OutlineFile.read(truth, roi, result.study(), workers, Progress.NONE);
        if (!known.mask().grid().coincides(region.grid(), SAME_PLACE_MM))
            throw new InputException(
                    truth,
                    "grid",
                    "that of " + known.series().label(),
                    "that of " + result.outline().series().label() + ", on which the rough outline lies");
        return OutlineAgreement.between(region, known.mask(), workers);
    }

    static Mask filled(Outline outline, List<String> decisions, Workers workers) {
        Mask drawn = outline.mask();
        Mask filled = BetweenSlices.fill(drawn, BetweenSlices.Settings.standard(), workers);
        int before = slices(drawn);
        int after = slices(filled);
        if (after > before)
            decisions.add("the region is drawn on " + before + " slices and was filled in on " + (after - before)
                    + " more between and beside them");
        int pieces = ConnectedComponents.label(filled, Neighbourhood.CORNERS).count();
        if (pieces > 1)
            decisions.add(
                    "the region is drawn in " + pieces + " pieces that do not touch; they were taken as one lesion");
        return filled;
    }

    private static int slices(Mask mask) {
        int slice = mask.grid().size().x() * mask.grid().size().y();
        int count = 0;
        for (int z = 0; z < mask.grid().size().z(); z++) {
            boolean any = false;
            for (int i = z * slice; i < (z + 1) * slice && !any; i++) any = mask.voxels()[i] != 0;
            if (any) count++;
        }
        return count;
    }

    private static Refined asDrawn(Mask filled) {
        float[] p = new float[filled.voxels().length];
        for (int i = 0; i < p.length; i++) p[i] = filled.voxels()[i];
        Mask none = new Mask(filled.grid(), new byte[p.length]);
        return new Refined(filled, new Volume(filled.grid(), p), none, List.of("the border was not refined, as set"));
    }

    /** What the border is looked for on: the drawing's own series first, then what the settings let have a say. */
    static Rough rough(
            Study study,
            Outline outline,
            Mask filled,
            OutlineSettings settings,
            List<String> decisions,
            Workers workers,
            Progress progress)
            throws InputException {
        List<Volume> channels = new ArrayList<>();
        channels.add(AlignmentImage.of(outline.content()));
        decisions.add("the border was looked for on " + outline.series().label());
        if (settings.allSeries())
            for (Role role : List.of(Role.T2, Role.POST_CONTRAST))
                channels.addAll(other(study, outline, role, filled, decisions, workers, progress));
        return Rough.of(channels, filled);
    }

    private static List<Volume> other(
            Study study,
            Outline outline,
            Role role,
            Mask filled,
            List<String> decisions,
            Workers workers,
            Progress progress)
            throws InputException {
        List<Series> candidates = study.of(role);
        if (candidates.isEmpty() || outline.series().role().equals(Optional.of(role))) return List.of();
        Series series = candidates.get(0);
        if (!series.frameOfReference().equals(outline.series().frameOfReference())) {
            decisions.add(series.label() + " has no say in the border: its frame of reference is another");
            return List.of();
        }
        List<Frame> frames = telling(series.read(workers, progress.part(0, 0.5)).frames());
        Alignment.Result place = Alignment.align(
                AlignmentImage.of(outline.content()),
                frames.get(frames.size() - 1).volume(),
                filled,
                Alignment.Settings.standard(new Alignment.Model.Rigid()),
                workers,
                progress.part(0.5, 1));
        List<Volume> carried = new ArrayList<>();
        for (Frame frame : frames)
            carried.add(place.correspondence()
                    .onFixed(frame.volume(), filled.grid(), Resampling.Kernel.LINEAR, workers, Progress.NONE));
        decisions.add("the border was also looked for on " + Counted.of(carried.size(), "volume") + " of "
                + series.label() + ". " + place.decision());
        return carried;
    }

    // Of time points the first two, when a lesion fills faster or slower than what is around it, and the last.
    private static List<Frame> telling(List<Frame> frames) {
        List<Frame> inTime = frames.stream()
                .sorted(Comparator.comparingDouble(frame -> frame.seconds().orElse(0)))
                .toList();
        if (inTime.size() < 4) return inTime;
        return List.of(inTime.get(0), inTime.get(1), inTime.get(inTime.size() - 1));
    }
}
