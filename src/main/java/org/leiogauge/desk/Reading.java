// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.concurrent.CompletableFuture;
import javax.swing.JComponent;
import javax.swing.SwingUtilities;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.Settings;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.study.Series;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

/** What is said of the images: the impression, then the numbers; kept, measured and exported beside the reader's work. */
final class Reading {
    private final DeskModel model;
    private final Session session;
    private final Background work;
    private final Workers workers;
    private final Standards standards;
    private final ReadingPanel panel;
    private Optional<CaseAutosave> autosave = Optional.empty();
    // what is being written of the case that was on the desk before
    private volatile CompletableFuture<?> left = CompletableFuture.completedFuture(true);
    private Optional<Impression> draft = Optional.empty();
    private CaseFile kept = CaseFile.named("none");
    private long measured = -1;

    Reading(DeskModel model, Session session, Background work, Workers workers, Standards standards) {
        this.model = model;
        this.session = session;
        this.work = work;
        this.workers = workers;
        this.standards = standards;
        this.panel = new ReadingPanel(standards, new Host());
        panel.setVisible(false);
        model.listen(this::follow);
        session.whenLoaded(this::lookForEarlier);
    }

    JComponent component() {
        return panel;
    }

    /** The case as it was kept last. Waits for what is still being written: not for the event thread. */
    CaseFile read(Path file) throws InputException {
        left.join();
        return standards.lexicon().read(file);
    }

    /** Another study stands on the desk. */
    void opened(ReadingFolder folder) {
        end();
        kept = model.caseFile();
        draft = kept.draft();
        measured = -1;
        autosave = Optional.of(new CaseAutosave(folder.caseFile(), kept, left, this::told));
        if (draft.isPresent()) model.caseFile(kept.withoutDraft());
        panel.begin(draft);
        panel.setVisible(true);
        // once it is laid out, for words that are set move the view to themselves
        SwingUtilities.invokeLater(() -> SwingUtilities.invokeLater(panel::toTop));
    }

    /** Another study is asked for: what was said of this one is kept first. */
    void leaving() {
        autosave.ifPresent(one -> left = one.flush());
    }

    private void told(CaseAutosave.Told told) {
        if (!told.messages().isEmpty()) model.say(String.join(" ", told.messages()));
    }

    private void follow() {
        if (model.study().isEmpty()) return;
        keep();
        if (measured >= 0 && measured != model.edits()) panel.setOutdated(true);
    }

    /** The case with what is not locked of it yet. */
    private CaseFile caseFile() {
        CaseFile now = model.caseFile();
        boolean isOpen = now.impression().isEmpty() && now.numbersShown().isEmpty();
        return draft.filter(words -> isOpen).map(now::drafting).orElse(now);
    }

    private void keep() {
        CaseFile now = caseFile();
        if (now.equals(kept)) return;
        kept = now;
        autosave.ifPresent(one -> one.changed(now));
    }

    void focus() {
        panel.focusFirst();
    }

    /** The study and the outline kept of it stand on the desk: the numbers measured of it before come back. */
    private void lookForEarlier() {
        CaseFile caseFile = model.caseFile();
        if (!MeasureRun.isLocked(caseFile) || !model.lesion().isDrawn() || isMeasured() || work.isBusy()) return;
        Mask region = model.lesion().drawing().orElseThrow().region();
        ReadingFolder folder = session.folder().orElseThrow();
        long edits = model.edits();
        work.run(
                "looking for earlier numbers",
                progress -> EarlierNumbers.of(folder, region, caseFile, standards),
                found -> found.ifPresent(result -> show(result, edits)),
                this::failed);
    }

    /** Measures what is drawn, if the impression is locked. */
    void measure() {
        Optional<String> refusal = model.study().isEmpty() ? Optional.of("Open a study first.") : panel.refusal();
        if (refusal.isEmpty() && !model.lesion().isDrawn()) refusal = Optional.of("Draw the lesion first.");
        if (refusal.isPresent()) {
            model.say(refusal.get());
            return;
        }
        OptionalInt on = model.lesion().drawnOn();
        Series series = model.lightbox().slots().get(on.getAsInt()).series();
        Mask region = model.lesion().drawing().orElseThrow().region();
        Path study = model.folder().orElseThrow();
        ReadingFolder folder = session.folder().orElseThrow();
        boolean declined = panel.hasDeclined();
        long edits = model.edits();
        session.keep();
        keep();
        CaseAutosave keeping = autosave.orElseThrow();
        work.run(
                "measuring",
                progress -> {
                    requireKept(keeping.flush().join());
                    return MeasureRun.run(
                            new MeasureRun.Wish(
                                    study,
                                    any -> folder.forMeasuring(study, series, region, workers),
                                    folder.caseFile(),
                                    declined,
                                    Settings.standard(),
                                    folder.result()),
                            standards,
                            workers,
                            progress);
                },
                result -> show(result, edits),
                this::failed);
    }

    private static void requireKept(CaseAutosave.Told told) throws IOException {
        if (!told.saved()) throw new IOException(String.join(" ", told.messages()));
    }

    private void show(MeasureRun.Result result, long edits) {
        boolean isOld = edits != model.edits();
        panel.show(result);
        measured = isOld ? edits : model.edits();
        panel.setOutdated(isOld);
        if (!isOld) result.parts().map(Maps::parts).ifPresent(model.layers()::add);
        model.say(
                result.origin().isEmpty()
                        ? "Measured. Tables and report lie in " + result.out() + "; S exports them."
                        : result.origin());
    }

    boolean isMeasured() {
        return panel.result().isPresent();
    }

    /** Copies report, tables, outline and case file into a folder. */
    void export(Path to) {
        Path study = model.folder().orElseThrow();
        if (WholeFolder.isWithin(to, study)) {
            model.say("Nothing is written into the study: choose a folder outside " + study + ".");
            return;
        }
        MeasureRun.Result result = panel.result().orElseThrow();
        ReadingFolder folder = session.folder().orElseThrow();
        session.keep();
        keep();
        Optional<CaseAutosave> keeping = autosave;
        work.run(
                "exporting the report",
                progress -> {
                    if (keeping.isPresent()) requireKept(keeping.get().flush().join());
                    copy(result, folder, to, progress);
                    return to;
                },
                where -> model.say("The report is in " + where + "."),
                this::failed);
    }

    private static void copy(MeasureRun.Result result, ReadingFolder folder, Path to, Progress progress)
            throws IOException {
        List<Path> files = folder.results();
        WholeFolder.<RuntimeException>write(to, into -> {
            for (int i = 0; i < files.size(); i++) {
                Path target =
                        into.resolve(folder.result().relativize(files.get(i)).toString());
                Files.createDirectories(target.getParent());
                Files.copy(files.get(i), target);
                progress.at((i + 1.0) / files.size());
            }
            Files.copy(result.outline(), into.resolve(result.outline().getFileName()));
            Files.copy(folder.caseFile(), into.resolve("case.yaml"));
        });
    }

    private void failed(Throwable failure) {
        session.failed(failure);
    }

    /** Writes what is not yet written. @return what is not on the disk, one line each, once it was tried */
    CompletableFuture<List<String>> flush() {
        return autosave.map(one -> one.flush().thenApply(told -> told.saved() ? List.<String>of() : told.messages()))
                .orElse(CompletableFuture.completedFuture(List.of()));
    }

    /** Nothing more is said of this case; what was said is written. */
    void end() {
        autosave.ifPresent(one -> left = one.end());
        autosave = Optional.empty();
    }

    private final class Host implements ReadingPanel.Host {
        @Override
        public CaseFile caseFile() {
            return model.caseFile();
        }

        @Override
        public void changed(CaseFile now) {
            boolean wasCurrent = measured == model.edits();
            model.caseFile(now);
            // what the reader says does not make the drawing another
            if (wasCurrent) {
                measured = model.edits();
                panel.setOutdated(false);
            }
        }

        @Override
        public void drafted(Optional<Impression> words) {
            draft = words;
            keep();
        }

        @Override
        public void measure() {
            Reading.this.measure();
        }
    }
}
