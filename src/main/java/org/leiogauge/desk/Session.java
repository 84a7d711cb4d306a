// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.temporal.ChronoUnit;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CompletableFuture;
import java.util.function.Consumer;
import javax.swing.SwingUtilities;
import javax.swing.Timer;
import org.leiogauge.image.Mask;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** What is done with what is on the desk, beside the reader's work: opening, keeping, maps. For the event thread. */
final class Session implements AutoCloseable {
    private static final double SAME_PLACE_MM = 0.01;
    private static final int QUIET_MS = 800;
    private static final int AGAIN_MS = 10_000;

    private final DeskModel model;
    private final Lightbox lightbox;
    private final Layers layers;
    private final DrawnLesion lesion;
    private final Background loading;
    private final Background work;
    private final Workers workers;
    private final Refiner refiner;
    private final Timer quiet = new Timer(QUIET_MS, event -> keep());
    private final Timer again = new Timer(AGAIN_MS, event -> autosave().ifPresent(OutlineAutosave::again));
    private final Optional<String> reader;
    private Optional<ReadingFolder> folder = Optional.empty();
    private Optional<OutlineAutosave> autosave = Optional.empty();
    // what is being written for the study that was on the desk before
    private CompletableFuture<Boolean> left = CompletableFuture.completedFuture(true);
    private Optional<Mask> asKept = Optional.empty();
    private long kept;
    private long mapped = -1;
    private long corrections;
    private Runnable whenLoaded = () -> {};

    /** @param reader who draws, by a name that is no patient's */
    Session(DeskModel model, Optional<String> reader, Background loading, Background work, Workers workers) {
        this.reader = reader;
        this.model = model;
        this.lightbox = model.lightbox();
        this.layers = model.layers();
        this.lesion = model.lesion();
        this.loading = loading;
        this.work = work;
        this.workers = workers;
        this.refiner = new Refiner(model, work, workers);
        quiet.setRepeats(false);
        again.setRepeats(false);
        model.listen(() -> {
            if (model.edits() != kept) quiet.restart();
            if (mapped >= 0 && mapped != model.edits()) dropLesionMaps();
            if (corrections != lesion.corrections()) {
                corrections = lesion.corrections();
                refiner.again();
            }
        });
    }

    /** @param then run when a study's series and the outline kept of it stand on the desk */
    void whenLoaded(Runnable then) {
        whenLoaded = then;
    }

    Refiner refiner() {
        return refiner;
    }

    Optional<ReadingFolder> folder() {
        return folder;
    }

    Optional<OutlineAutosave> autosave() {
        return autosave;
    }

    /** A study with what is needed to begin. */
    private record Opened(Study study, List<Series> shown, ReadingFolder folder, CaseFile caseFile) {}

    /** Reads a case file where there is one. */
    @FunctionalInterface
    interface CaseReader {
        CaseFile read(Path file) throws InputException;
    }

    /**
     * Opens a study beside the reader's work; the first series is there first.
     *
     * @param named where the work on it goes; none: beside the study
     * @param opened told when the study stands on the desk, its series still to be read
     */
    void open(Path study, Optional<Path> named, CaseReader reader, Consumer<ReadingFolder> opened) {
        loading.run(
                "opening the study",
                progress -> {
                    Study found = StudyLoader.open(study, workers, progress);
                    ReadingFolder at = ReadingFolder.of(study, named);
                    CaseFile caseFile = Files.isRegularFile(at.caseFile())
                            ? reader.read(at.caseFile())
                            : CaseFile.named(found.pseudonym());
                    Study roles = found.with(caseFile.series(), at.caseFile());
                    return new Opened(roles, StudyLoader.shown(roles), at, caseFile);
                },
                ready -> {
                    begin(study, ready);
                    opened.accept(ready.folder());
                    CompletableFuture<Boolean> waiting = left;
                    loading.run(
                            "reading the series",
                            progress -> load(ready, waiting, progress),
                            this::loaded,
                            this::failed);
                },
                this::failed);
    }

    private void begin(Path study, Opened ready) {
        keep();
        leave();
        refiner.forget();
        folder = Optional.of(ready.folder());
        model.open(study, ready.study(), ready.caseFile(), ready.shown());
        kept = model.edits();
        mapped = -1;
        autosave = Optional.of(
                new OutlineAutosave(ready.folder(), problem -> SwingUtilities.invokeLater(() -> kept(problem))));
    }

    private void leave() {
        autosave.ifPresent(one -> left = one.end());
        autosave = Optional.empty();
        asKept = Optional.empty();
    }

    /** The outline that was kept when this study was last read, and what went wrong with it. */
    private record Loaded(Optional<Outline> outline, String problem) {}

    private Loaded load(Opened ready, CompletableFuture<Boolean> waiting, Progress progress) {
        List<Series> shown = ready.shown();
        for (int i = 0; i < shown.size(); i++) {
            Series series = shown.get(i);
            try {
                Picture picture = Picture.of(
                        series,
                        series.read(workers, progress.part((double) i / shown.size(), (i + 1.0) / shown.size())));
                SwingUtilities.invokeLater(() -> lightbox.show(picture));
            } catch (InputException e) {
                SwingUtilities.invokeLater(() -> model.fail(series, Background.told(e)));
            }
        }
        waiting.join();
        try {
            return new Loaded(ready.folder().kept(ready.study(), workers, progress), "");
        } catch (InputException e) {
            return new Loaded(
                    Optional.empty(),
                    "The outline kept in " + ready.folder().folder() + " is not used: " + e.getMessage());
        }
    }

    private void loaded(Loaded loaded) {
        long before = model.edits();
        loaded.outline().ifPresent(this::put);
        if (loaded.problem().isEmpty() && model.edits() == before + 1) {
            kept = model.edits();
            asKept = lesion.drawing().map(Drawing::region);
        }
        List<Picture> pictures = pictures();
        pictures.forEach(picture -> layers.add(Maps.of(picture, picture.firstFrame())));
        if (!loaded.problem().isEmpty()) model.say(loaded.problem());
        else
            model.study()
                    .map(StudyLoader::notice)
                    .filter(words -> !words.isEmpty())
                    .ifPresent(model::say);
        whenLoaded.run();
        loading.run(
                "making maps",
                progress -> {
                    List<Layer> made = new ArrayList<>();
                    Maps.adc(pictures, workers).ifPresent(made::add);
                    progress.at(0.5);
                    Maps.enhancement(pictures, workers).ifPresent(made::add);
                    return made;
                },
                made -> made.forEach(layers::add),
                this::failed);
    }

    /** Takes an outline from a file. */
    void openOutline(Path file) {
        Optional<Study> study = model.study();
        if (study.isEmpty()) {
            model.say("Open a study first.");
            return;
        }
        work.run(
                "reading the outline",
                progress -> OutlineFile.read(file, Optional.empty(), study.get(), workers, progress),
                this::put,
                this::failed);
    }

    private void put(Outline outline) {
        for (int slot = 0; slot < lightbox.slots().size(); slot++)
            if (lightbox.slots().get(slot).series().id().equals(outline.series().id())
                    && lightbox.picture(slot)
                            .filter(picture ->
                                    picture.grid().coincides(outline.mask().grid(), SAME_PLACE_MM))
                            .isPresent()) {
                lesion.put(slot, outline.mask());
                return;
            }
        model.say("The outline lies on " + Picture.title(outline.series()) + ", which is not shown here.");
    }

    /** How sure the border is, made when it is asked for and the drawing is another since. */
    void mapBorder() {
        if (!lesion.isDrawn()) {
            model.say("Draw the lesion first.");
            return;
        }
        if (mapped == model.edits()) return;
        long now = model.edits();
        Mask region = lesion.drawing().orElseThrow().region();
        work.run(
                "looking how sure the border is",
                progress -> Maps.stability(region, workers, progress),
                made -> {
                    mapped = now;
                    layers.add(made);
                    layers.choose(1, Maps.STABILITY);
                },
                this::failed);
    }

    // They show an older drawing.
    private void dropLesionMaps() {
        mapped = -1;
        layers.remove(Maps.PARTS);
        layers.remove(Maps.STABILITY);
    }

    private List<Picture> pictures() {
        return lightbox.slots().stream()
                .flatMap(slot -> slot.picture().stream())
                .toList();
    }

    /** Keeps the outline now. */
    void keep() {
        if (model.edits() == kept) return;
        kept = model.edits();
        if (lesion.drawing().isEmpty()) return;
        Mask region = lesion.drawing().get().region();
        if (asKept.filter(before -> Arrays.equals(before.voxels(), region.voxels()))
                .isPresent()) return;
        asKept = Optional.of(region);
        autosave.ifPresent(one -> one.changed(region));
        Optional<String> who = reader.or(() -> model.caseFile().outline().flatMap(CaseFile.Drawn::reader));
        String now = LocalDateTime.now().truncatedTo(ChronoUnit.SECONDS).toString();
        model.drawn(new CaseFile.Drawn(who, Optional.of(now)));
    }

    private void kept(Optional<String> problem) {
        problem.ifPresent(words -> {
            model.say(words);
            again.restart();
        });
    }

    void failed(Throwable failure) {
        if (!(failure instanceof CancellationException)) model.say(Background.told(failure));
    }

    @Override
    public void close() {
        quiet.stop();
        again.stop();
        keep();
        leave();
    }
}
