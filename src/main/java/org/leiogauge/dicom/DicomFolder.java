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
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Finds the image series among the files of a folder, in any nesting. */
public final class DicomFolder {
    private static final int DEEPEST = 32;
    private static final int MOST_FILES = 1_000_000;

    private DicomFolder() {}

    /**
     * What a folder holds.
     *
     * @param series those with images, sorted by series number, then UID
     * @param decisions what was passed over though its name says that it is a DICOM file
     */
    public record Content(List<DicomSeries> series, List<String> decisions) {
        public Content {
            series = List.copyOf(series);
            decisions = List.copyOf(decisions);
        }
    }

    /** What one file holds; strange if its name alone says that it is a DICOM file. */
    private record Looked(List<ImageFrame> frames, boolean isStrange) {}

    /**
     * Reads the headers of all files. What is no DICOM file, and objects that hold no image of the patient, are passed over.
     *
     * @throws InputException if the folder cannot be read, a DICOM image in it is not usable, or files that are named as
     *     DICOM files are all there is
     */
    public static Content content(Path folder, Workers workers, Progress progress) throws InputException {
        List<Path> files = files(folder);
        List<Looked> looked = look(files, workers, progress);
        List<Path> strange = strange(files, looked);
        List<DicomSeries> series = series(looked);
        if (series.isEmpty() && !strange.isEmpty()) throw notAsNamed(strange.get(0));
        // not which: names of files and folders are often the patient's, and this reaches the report
        return new Content(
                series,
                strange.isEmpty()
                        ? List.of()
                        : List.of(Counted.of(strange.size(), "file") + " passed over: named as DICOM files, but none"));
    }

    /** The series of a folder, as {@link #content} finds them. */
    public static List<DicomSeries> scan(Path folder, Workers workers, Progress progress) throws InputException {
        return content(folder, workers, progress).series();
    }

    /**
     * The series of single files, which somebody chose.
     *
     * @throws InputException if a DICOM image among them is not usable, or one is no DICOM file though its name says so
     */
    public static List<DicomSeries> scan(List<Path> files, Workers workers, Progress progress) throws InputException {
        List<Looked> looked = look(files, workers, progress);
        List<Path> strange = strange(files, looked);
        if (!strange.isEmpty()) throw notAsNamed(strange.get(0));
        return series(looked);
    }

    private static List<Looked> look(List<Path> files, Workers workers, Progress progress) throws InputException {
        AtomicInteger done = new AtomicInteger();
        return workers.map(files.size(), i -> {
            progress.at((double) done.incrementAndGet() / files.size());
            return look(files.get(i));
        });
    }

    private static List<Path> strange(List<Path> files, List<Looked> looked) {
        return IntStream.range(0, files.size())
                .filter(i -> looked.get(i).isStrange())
                .mapToObj(files::get)
                .toList();
    }

    private static List<DicomSeries> series(List<Looked> looked) throws InputException {
        Map<String, List<ImageFrame>> bySeries = new TreeMap<>();
        for (Looked one : looked)
            for (ImageFrame frame : one.frames())
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
        if (!Files.exists(folder)) throw new InputException(folder, "", "no such file or folder", "DICOM files");
        try (Stream<Path> walk = Files.walk(folder, DEEPEST, FileVisitOption.FOLLOW_LINKS)) {
            List<Path> files =
                    walk.filter(Files::isRegularFile).limit(MOST_FILES).sorted().toList();
            if (files.isEmpty()) throw new InputException(folder, "", "no files", "DICOM or NIfTI files");
            return files;
        } catch (IOException | UncheckedIOException e) {
            throw new InputException(folder, "", "a folder that cannot be read", "DICOM files");
        }
    }

    private static Looked look(Path file) throws InputException {
        try {
            if (!DicomReader.isDicom(file)) return new Looked(List.of(), isNamedSo(file));
            DicomReader.Header header = DicomReader.readHeader(file);
            return new Looked(isImage(header) ? ImageFrame.of(header) : List.of(), false);
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a DICOM file");
        }
    }

    // Objects with pixels but no place in the patient, as screen captures, and segmentations are no series to measure.
    private static boolean isImage(DicomReader.Header header) {
        DataSet set = header.set();
        return header.pixelTag() != 0
                && !set.text(Tag.SOP_CLASS_UID).orElse("").equals(Uid.SEGMENTATION)
                && (set.has(Tag.IMAGE_POSITION_PATIENT) || set.has(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE));
    }

    // One system puts a hidden file of its own, "._" and the same name, beside each file on a foreign disk.
    private static boolean isNamedSo(Path file) {
        String name = file.getFileName().toString().toLowerCase(Locale.ROOT);
        return name.endsWith(".dcm") && !name.startsWith("._");
    }

    private static InputException notAsNamed(Path file) {
        return new InputException(file, "", "no DICOM file", "a DICOM file, as its name says");
    }
}
