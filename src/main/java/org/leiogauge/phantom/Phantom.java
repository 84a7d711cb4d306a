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
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

/** Makes a synthetic study: the same settings give the same bytes, for any number of threads. */
public final class Phantom {
    private Phantom() {}

    /**
     * Writes the study into a folder: {@code dicom/}, one folder per series, and {@code settings.yaml}, from which it can be
     * made again.
     *
     * @throws IOException if it cannot be written; nothing is left behind then
     */
    public static void write(PhantomSettings settings, Path out, Workers workers, Progress progress)
            throws IOException {
        WholeFolder.<RuntimeException>write(out, folder -> fill(folder, settings, workers, progress));
    }

    private static void fill(Path folder, PhantomSettings settings, Workers workers, Progress progress)
            throws IOException {
        Anatomy anatomy = Anatomy.of(settings, workers);
        progress.at(0.05);
        StudyObjects objects = new StudyObjects(settings);
        int count = settings.series().size();
        for (int i = 0; i < count; i++) {
            Progress part = progress.part(0.05 + 0.9 * i / count, 0.05 + 0.9 * (i + 1) / count);
            SeriesImages images = StudyImages.render(settings, anatomy, i, workers, part);
            Optional<Volume> adc = images.settings().kind() == SeriesSettings.Kind.DWI
                    ? Optional.of(ScannerAdc.of(images, settings.scanner(), workers))
                    : Optional.empty();
            for (StudyObjects.Series series : objects.of(i, images, adc))
                write(folder.resolve("dicom").resolve(series.folder()), series.objects(), settings, workers);
        }
        // The truth of the study is written here, beside its images.
        Files.writeString(folder.resolve("settings.yaml"), settings.yaml());
        progress.at(1);
    }

    private static void write(Path folder, List<DataSet> objects, PhantomSettings settings, Workers workers)
            throws IOException {
        Files.createDirectories(folder);
        workers.<IOException>forEach(
                objects.size(),
                i -> Files.write(
                        folder.resolve(String.format(Locale.ROOT, "%04d.dcm", i + 1)),
                        DicomWriter.bytes(
                                objects.get(i), settings.dicom().compression().syntax())));
    }
}
