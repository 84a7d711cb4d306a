// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.dicom.DataSet;
import org.leiogauge.dicom.DicomWriter;
import org.leiogauge.dicom.DrawnOn;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;

/** Makes a synthetic study: the same settings give the same bytes, for any number of threads. */
public final class Phantom {
    private static final double ANATOMY_DONE = 0.05;
    private static final double IMAGES_DONE = 0.8;

    private final PhantomSettings settings;
    private final Path folder;
    private final Workers workers;
    private final Anatomy anatomy;
    private final StudyObjects objects;

    private Phantom(PhantomSettings settings, Path folder, Workers workers) {
        this.settings = settings;
        this.folder = folder;
        this.workers = workers;
        anatomy = Anatomy.of(settings, workers);
        objects = new StudyObjects(settings);
    }

    /**
     * Writes the study into a folder: {@code dicom/} with one folder per series, the files of {@link TruthFolder}, and
     * {@code settings.yaml}, from which it can be made again.
     *
     * @throws InputException if the folder holds a study already, whose files would mix with the new ones
     * @throws IOException if it cannot be written; nothing is left behind then
     */
    public static void write(PhantomSettings settings, Path out, Workers workers, Progress progress)
            throws InputException, IOException {
        WritablePlace.requireForFolder(out);
        for (String name : List.of("dicom", "masks"))
            if (Files.exists(out.resolve(name)))
                throw new InputException(
                        out, "", "a folder with " + name + " in it, of a study", "a folder without one");
        WholeFolder.<RuntimeException>write(out, folder -> new Phantom(settings, folder, workers).write(progress));
    }

    private void write(Progress progress) throws IOException {
        progress.at(ANATOMY_DONE);
        int count = settings.series().size();
        double share = (IMAGES_DONE - ANATOMY_DONE) / count;
        int t2 = settings.series().indexOf(settings.t2());
        for (int i = 0; i < count; i++) {
            DrawnOn series = series(i, progress.part(ANATOMY_DONE + share * i, ANATOMY_DONE + share * (i + 1)));
            if (i == t2) TruthFolder.write(folder, settings, anatomy, series, workers, progress.part(IMAGES_DONE, 1));
        }
        Files.writeString(folder.resolve("settings.yaml"), settings.yaml());
        progress.at(1);
    }

    // One series is in memory at a time.
    private DrawnOn series(int number, Progress progress) throws IOException {
        SeriesImages images = StudyImages.render(settings, anatomy, number, workers, progress);
        Optional<Volume> adc = images.settings().kind() == SeriesSettings.Kind.DWI
                ? Optional.of(ScannerAdc.of(images, settings.scanner(), workers))
                : Optional.empty();
        List<StudyObjects.Series> series = objects.of(number, images, adc);
        for (StudyObjects.Series one : series) files(folder.resolve("dicom").resolve(one.folder()), one.objects());
        return series.get(0).drawnOn(images.grid());
    }

    private void files(Path target, List<DataSet> sets) throws IOException {
        Files.createDirectories(target);
        workers.<IOException>forEach(
                sets.size(),
                i -> Files.write(
                        target.resolve(String.format(Locale.ROOT, "%04d.dcm", i + 1)),
                        DicomWriter.bytes(
                                sets.get(i), settings.dicom().compression().syntax())));
    }
}
