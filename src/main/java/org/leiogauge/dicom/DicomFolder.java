// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.FileVisitOption;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.TreeMap;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.stream.Stream;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Finds the image series among the files of a folder, in any nesting. */
public final class DicomFolder {
    private static final int DEEPEST = 32;
    private static final int MOST_FILES = 1_000_000;

    private DicomFolder() {}

    /**
     * Reads the headers of all files and returns the series with images, sorted by series number, then UID. What is no
     * DICOM file, and objects that hold no image of the patient, are passed over.
     *
     * @throws InputException if the folder cannot be read, or a DICOM image in it is not usable
     */
    public static List<DicomSeries> scan(Path folder, Workers workers, Progress progress) throws InputException {
        return scan(files(folder), workers, progress);
    }

    /**
     * As of a folder, for single files.
     *
     * @throws InputException if a DICOM image among them is not usable
     */
    public static List<DicomSeries> scan(List<Path> files, Workers workers, Progress progress) throws InputException {
        AtomicInteger done = new AtomicInteger();
        List<List<ImageFrame>> looked = workers.map(files.size(), i -> {
            progress.at((double) done.incrementAndGet() / files.size());
            return look(files.get(i));
        });
        Map<String, List<ImageFrame>> bySeries = new TreeMap<>();
        for (List<ImageFrame> frames : looked)
            for (ImageFrame frame : frames)
                bySeries.computeIfAbsent(
                                frame.header().set().needText(Tag.SERIES_INSTANCE_UID), uid -> new ArrayList<>())
                        .add(frame);
        return bySeries.values().stream()
                .map(DicomSeries::new)
                .sorted(Comparator.comparingDouble(
                        series -> series.number(Tag.SERIES_NUMBER).orElse(0)))
                .toList();
    }

    /** All files of a folder, in any nesting, sorted; or the one file. */
    static List<Path> files(Path folder) throws InputException {
        try (Stream<Path> walk = Files.walk(folder, DEEPEST, FileVisitOption.FOLLOW_LINKS)) {
            List<Path> files =
                    walk.filter(Files::isRegularFile).limit(MOST_FILES).sorted().toList();
            if (files.isEmpty()) throw new InputException(folder, "", "no files", "DICOM or NIfTI files");
            return files;
        } catch (IOException | UncheckedIOException e) {
            throw new InputException(folder, "", "a folder that cannot be read", "DICOM files");
        }
    }

    private static List<ImageFrame> look(Path file) throws InputException {
        try {
            if (!DicomReader.isDicom(file)) {
                requireNotNamedSo(file);
                return List.of();
            }
            DicomReader.Header header = DicomReader.readHeader(file);
            return isImage(header) ? ImageFrame.of(header) : List.of();
        } catch (IOException e) {
            throw new InputException(file, "", "a file that cannot be read: " + e.getMessage(), "a DICOM file");
        }
    }

    // Objects with pixels but no place in the patient, as screen captures, and segmentations are no series to measure.
    private static boolean isImage(DicomReader.Header header) {
        DataSet set = header.set();
        return header.pixelTag() != 0
                && !set.text(Tag.SOP_CLASS_UID).orElse("").equals(Uid.SEGMENTATION)
                && (set.has(Tag.IMAGE_POSITION_PATIENT) || set.has(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE));
    }

    private static void requireNotNamedSo(Path file) throws InputException {
        if (file.toString().toLowerCase(Locale.ROOT).endsWith(".dcm"))
            throw new InputException(file, "", "no DICOM file", "a DICOM file, as its name says");
    }
}
