// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalInt;
import javax.swing.JComponent;
import javax.swing.SwingUtilities;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.Settings;
import org.leiogauge.study.CaseFile;
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
    private long kept;
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
    }

    JComponent component() {
        return panel;
    }

    CaseFile read(Path file) throws InputException {
        return standards.lexicon().read(file);
    }

    /** Another study stands on the desk. */
    void opened(ReadingFolder folder) {
        autosave.ifPresent(CaseAutosave::close);
        autosave = Optional.empty();
        kept = model.edits();
        measured = -1;
        try {
            autosave = Optional.of(new CaseAutosave(folder.caseFile(), model.caseFile(), this::told));
        } catch (InputException e) {
            model.say("The case cannot be kept: " + e.getMessage());
        }
        panel.begin();
        panel.setVisible(true);
        // once it is laid out, for words that are set move the view to themselves
        SwingUtilities.invokeLater(() -> SwingUtilities.invokeLater(panel::toTop));
    }

    /** Another study is asked for: what was said of this one is kept first. */
    void leaving() {
        autosave.ifPresent(CaseAutosave::flush);
    }

    private void told(CaseAutosave.Told told) {
        if (!told.messages().isEmpty()) model.say(String.join(" ", told.messages()));
    }

    private void follow() {
        if (model.edits() == kept || model.study().isEmpty()) return;
        kept = model.edits();
        autosave.ifPresent(one -> one.changed(model.caseFile()));
        if (measured >= 0 && measured != model.edits()) panel.setOutdated(true);
    }

    void focus() {
        panel.focusFirst();
    }

    /** Measures what is drawn, if the impression is locked. */
    void measure() {
        Optional<String> refusal = model.study().isEmpty() ? Optional.of("Open a study first.") : panel.refusal();
        if (refusal.isEmpty() && !model.isDrawn()) refusal = Optional.of("Draw the lesion first.");
        if (refusal.isPresent()) {
            model.say(refusal.get());
            return;
        }
        OptionalInt on = model.drawnOn();
        Series series = model.slots().get(on.getAsInt()).series();
        Mask region = model.drawing().orElseThrow().region();
        Path study = model.folder().orElseThrow();
        ReadingFolder folder = session.folder().orElseThrow();
        boolean declined = panel.hasDeclined();
        long edits = model.edits();
        CaseAutosave keeping = autosave.orElseThrow();
        keeping.changed(model.caseFile());
        work.run(
                "measuring",
                progress -> {
                    requireKept(keeping.flush());
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
        kept = model.edits();
        autosave.ifPresent(one -> one.changed(model.caseFile()));
        panel.setOutdated(isOld);
        if (!isOld) model.add(Maps.parts(result.parts()));
        model.say("Measured. Tables and report lie in " + result.out() + "; S exports them.");
    }

    boolean isMeasured() {
        return panel.result().isPresent();
    }

    /** Copies report, tables, outline and case file into a folder. */
    void export(Path to) {
        Path study = model.folder().orElseThrow();
        if (ReadingFolder.isInStudy(to, study)) {
            model.say("Nothing is written into the study: choose a folder outside " + study + ".");
            return;
        }
        MeasureRun.Result result = panel.result().orElseThrow();
        ReadingFolder folder = session.folder().orElseThrow();
        autosave.ifPresent(one -> one.changed(model.caseFile()));
        work.run(
                "exporting the report",
                progress -> {
                    autosave.ifPresent(CaseAutosave::flush);
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

    /** Writes what is not yet written. @return what is not on the disk, one line each */
    List<String> flush() {
        return autosave.map(CaseAutosave::flush)
                .filter(told -> !told.saved())
                .map(CaseAutosave.Told::messages)
                .orElse(List.of());
    }

    void close() {
        autosave.ifPresent(CaseAutosave::close);
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
        public void measure() {
            Reading.this.measure();
        }
    }
}
