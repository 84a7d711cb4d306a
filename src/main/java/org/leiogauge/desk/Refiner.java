// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.OutlineRecipe;
import org.leiogauge.measure.OutlineSettings;
import org.leiogauge.outline.BorderRefinement;
import org.leiogauge.outline.Refined;
import org.leiogauge.outline.Rough;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Refines the drawing beside the reader's work and shows what it found, until the reader keeps or leaves it. The images on
 * which the border is looked for are got once; a correction then refines again by itself.
 */
final class Refiner {
    private static final double SAME_PLACE_MM = 0.01;

    private final DeskModel model;
    private final Background work;
    private final Workers workers;
    private List<Volume> channels = List.of();

    Refiner(DeskModel model, Background work, Workers workers) {
        this.model = model;
        this.work = work;
        this.workers = workers;
    }

    /** What is known of a study that was put away does not serve the next one. */
    void forget() {
        channels = List.of();
    }

    /** Whether corrections refine at once. */
    boolean isLive() {
        return !channels.isEmpty();
    }

    /** Fills in between the drawn slices and moves the border to where the images have one. */
    void refine() {
        if (!model.lesion().isDrawn()) {
            model.say("Draw the lesion first, on a few slices at least.");
            return;
        }
        Drawing drawing = model.lesion().drawing().orElseThrow();
        Lightbox.Slot slot =
                model.lightbox().slots().get(model.lesion().drawnOn().orElseThrow());
        Study study = model.study().orElseThrow();
        Mask region = drawing.region();
        Mask added = drawing.added();
        Mask removed = drawing.removed();
        Series.Content content = slot.picture().orElseThrow().content();
        work.run(
                "refining the border",
                progress -> found(
                        study,
                        new Outline("lesion", slot.series(), content, region, List.of()),
                        added,
                        removed,
                        progress),
                this::show,
                this::failed);
    }

    /** After a correction: the same again on the images that are there already. */
    void again() {
        if (!isLive() || !model.lesion().isDrawn()) return;
        Drawing drawing = model.lesion().drawing().orElseThrow();
        // drawn anew on another series: what was got does not serve
        if (!channels.get(0).grid().coincides(drawing.grid(), SAME_PLACE_MM)) return;
        Rough rough = new Rough(channels, drawing.region(), drawing.added(), drawing.removed());
        work.run(
                "refining the border",
                progress -> new Found(
                        rough.channels(),
                        BorderRefinement.refine(
                                rough, OutlineSettings.standard().border(), workers, progress)),
                this::show,
                this::failed);
    }

    private record Found(List<Volume> channels, Refined refined) {}

    private Found found(Study study, Outline outline, Mask added, Mask removed, Progress progress)
            throws InputException {
        OutlineSettings settings = OutlineSettings.standard();
        List<String> decisions = new ArrayList<>();
        Rough rough = OutlineRecipe.prepare(study, outline, settings, decisions, workers, progress.part(0, 0.6));
        Refined refined = BorderRefinement.refine(
                new Rough(rough.channels(), rough.mask(), added, removed),
                settings.border(),
                workers,
                progress.part(0.6, 1));
        return new Found(rough.channels(), refined);
    }

    private void show(Found found) {
        channels = found.channels();
        model.lesion().preview(found.refined());
        Optional<String> last = found.refined().decisions().stream().reduce((a, b) -> b);
        model.say("Blue: " + last.orElse("the refined border") + ". Enter keeps it, Escape leaves it.");
    }

    private void failed(Throwable failure) {
        if (!(failure instanceof CancellationException)) model.say(Background.told(failure));
    }
}
