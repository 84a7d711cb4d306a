// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.HashSet;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

/**
 * A copy of DICOM files without what says who the patient is, in a new folder: {@code case-…/series-01/0001.dcm}, numbered by
 * what the files say and not by what they are called.
 *
 * <p>Copied are images with a place in the patient, RT structure sets and segmentations. What else there is is left out: a
 * report's text, a picture of a screen or a document may name the patient in ways that no list of attributes ends.
 *
 * <p>See {@link Pseudonymiser} for what stays in an object.
 */
public final class PseudonymisedFolder {
    // PS3.4 B.5
    private static final String CONVERTED_MR_IMAGE = "1.2.840.10008.5.1.4.1.1.4.4";
    private static final List<String> IMAGES =
            List.of(Uid.MR_IMAGE, Uid.ENHANCED_MR_IMAGE, CONVERTED_MR_IMAGE, Uid.CT_IMAGE);
    private static final int OVERLAYS = 0x6000;

    private final Pseudonyms pseudonyms;
    private final OptionalInt shiftDays;
    private final Map<String, Timeline> timelines = new TreeMap<>();
    private final List<Entry> entries = new ArrayList<>();
    private final List<LeftOut> leftOut = new ArrayList<>();

    private PseudonymisedFolder(Pseudonyms pseudonyms, OptionalInt shiftDays) {
        this.pseudonyms = pseudonyms;
        this.shiftDays = shiftDays;
    }

    /** A file that is not in the copy, and why. */
    public record LeftOut(Path file, String reason) {}

    /**
     * A series in the copy.
     *
     * @param folder in the copy
     * @param kind {@code images}, {@code structure set} or {@code segmentation}
     * @param saysNothingOfText how many of its images do not say whether text is burned into them
     */
    public record CopiedSeries(String folder, String kind, int files, int saysNothingOfText) {}

    /** What was done; it names no patient, but the files left out as they are called. */
    public record Result(List<String> patients, List<CopiedSeries> series, List<LeftOut> leftOut) {
        public Result {
            patients = List.copyOf(patients);
            series = List.copyOf(series);
            leftOut = List.copyOf(leftOut);
        }
    }

    private record Entry(
            Path file,
            String patient,
            String kind,
            String series,
            double seriesNumber,
            double number,
            String instance,
            boolean saysNothing) {}

    /**
     * @param sources folders of any nesting, or files
     * @param shiftDays how far dates are moved; none: the first day of each patient becomes 1970-01-01
     * @param out a folder that is not there yet
     * @throws InputException if a DICOM file is broken, or nothing can be copied; nothing is written then
     */
    public static Result write(
            List<Path> sources,
            Pseudonyms pseudonyms,
            OptionalInt shiftDays,
            Path out,
            Workers workers,
            Progress progress)
            throws InputException, IOException {
        List<Path> files = new ArrayList<>();
        // a file that is named besides its folder is one file
        Set<Path> known = new HashSet<>();
        for (Path source : sources)
            for (Path file : DicomFolder.files(source))
                if (known.add(file.toAbsolutePath().normalize())) files.add(file);
        PseudonymisedFolder folder = new PseudonymisedFolder(pseudonyms, shiftDays);
        folder.look(files, workers, progress.part(0, 0.3));
        if (folder.entries.isEmpty())
            throw new InputException(
                    sources.get(0),
                    "",
                    "no file to copy among " + files.size(),
                    "DICOM images, structure sets or segmentations");
        List<CopiedSeries> series = new ArrayList<>();
        WholeFolder.<InputException>write(
                out, temporary -> series.addAll(folder.copy(temporary, workers, progress.part(0.3, 1))));
        List<String> patients = List.copyOf(new TreeSet<>(
                folder.entries.stream().map(e -> pseudonyms.patient(e.patient)).toList()));
        return new Result(patients, series, folder.leftOut);
    }

    private record Looked(Optional<DicomReader.Header> header, String reason) {}

    private void look(List<Path> files, Workers workers, Progress progress) throws InputException {
        AtomicInteger done = new AtomicInteger();
        List<Looked> looked = workers.map(files.size(), i -> {
            progress.at((double) done.incrementAndGet() / files.size());
            return look(files.get(i));
        });
        for (int i = 0; i < files.size(); i++) {
            if (looked.get(i).header.isEmpty()) leftOut.add(new LeftOut(files.get(i), looked.get(i).reason));
            else enter(looked.get(i).header.get());
        }
    }

    private static Looked look(Path file) throws InputException {
        try {
            if (!DicomReader.isDicom(file)) return new Looked(Optional.empty(), "no DICOM file");
            DicomReader.Header header = DicomReader.readHeader(file);
            Optional<String> reason = reasonAgainst(header);
            return new Looked(reason.isPresent() ? Optional.empty() : Optional.of(header), reason.orElse(""));
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a DICOM file");
        }
    }

    private static Optional<String> reasonAgainst(DicomReader.Header header) throws InputException {
        DataSet set = header.set();
        String kind = set.text(Tag.SOP_CLASS_UID).orElse("");
        if (kind.equals(Uid.RT_STRUCTURE_SET)) return Optional.empty();
        boolean isSegmentation = kind.equals(Uid.SEGMENTATION);
        if (!isSegmentation && !IMAGES.contains(kind))
            return Optional.of("neither an MR or CT image, nor a structure set or segmentation");
        if (header.pixelTag() == 0) return Optional.of("no pixel data");
        if (!isSegmentation
                && !set.has(Tag.IMAGE_POSITION_PATIENT)
                && !set.has(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE))
            return Optional.of("no place in the patient: it may be a picture of a screen");
        if (set.text(Tag.BURNED_IN_ANNOTATION).orElse("NO").equals("YES")) return Optional.of("text in its pixels");
        if (set.text(Tag.CONVERSION_TYPE).isPresent()) return Optional.of("a picture of a screen or a film");
        if (set.whole(Tag.SAMPLES_PER_PIXEL).orElse(1) != 1) return Optional.of("a colour image: it may show text");
        if (hasOverlayInPixels(set)) return Optional.of("an overlay in its pixels: it may show text");
        return Optional.empty();
    }

    // PS3.5 8.1.2, retired: bits of the pixels that are none of the image's
    private static boolean hasOverlayInPixels(DataSet set) {
        return set.elements().stream()
                        .map(Element::tag)
                        .anyMatch(tag -> Tag.group(tag) >> 8 == OVERLAYS >> 8 && Tag.element(tag) == 0x0102)
                && set.elements().stream()
                        .map(Element::tag)
                        .noneMatch(tag -> Tag.group(tag) >> 8 == OVERLAYS >> 8 && Tag.element(tag) == 0x3000);
    }

    private void enter(DicomReader.Header header) throws InputException {
        DataSet set = header.set();
        String patient =
                set.text(Tag.PATIENT_ID).or(() -> set.text(Tag.PATIENT_NAME)).orElse("");
        timelines.computeIfAbsent(patient, p -> new Timeline(shiftDays)).look(set);
        String kind = set.text(Tag.SOP_CLASS_UID).orElse("");
        boolean isImage = IMAGES.contains(kind);
        entries.add(new Entry(
                header.file(),
                patient,
                isImage ? "images" : kind.equals(Uid.SEGMENTATION) ? "segmentation" : "structure set",
                pseudonyms.uid(set.needText(Tag.SERIES_INSTANCE_UID)),
                number(set, Tag.SERIES_NUMBER),
                number(set, Tag.INSTANCE_NUMBER),
                pseudonyms.uid(set.needText(Tag.SOP_INSTANCE_UID)),
                isImage && set.text(Tag.BURNED_IN_ANNOTATION).isEmpty()));
    }

    // A number that is none sorts as 0 and is left out of the copy.
    private static double number(DataSet set, int tag) {
        try {
            return set.number(tag).orElse(0);
        } catch (InputException e) {
            return 0;
        }
    }

    private List<CopiedSeries> copy(Path out, Workers workers, Progress progress) throws InputException, IOException {
        entries.sort(Comparator.comparing((Entry e) -> pseudonyms.patient(e.patient))
                .thenComparingDouble(Entry::seriesNumber)
                .thenComparing(Entry::series)
                .thenComparingDouble(Entry::number)
                .thenComparing(Entry::instance));
        List<String> names = new ArrayList<>();
        List<CopiedSeries> copied = new ArrayList<>();
        for (Entry entry : entries) {
            boolean isNew = names.isEmpty() || !sameSeries(entries.get(names.size() - 1), entry);
            if (isNew) copied.add(new CopiedSeries(folder(entry, copied), entry.kind, 0, 0));
            CopiedSeries last = copied.get(copied.size() - 1);
            names.add(last.folder + String.format(Locale.ROOT, "/%04d.dcm", last.files + 1));
            copied.set(
                    copied.size() - 1,
                    new CopiedSeries(
                            last.folder,
                            last.kind,
                            last.files + 1,
                            last.saysNothingOfText + (entry.saysNothing ? 1 : 0)));
        }
        AtomicInteger done = new AtomicInteger();
        workers.forEach(entries.size(), i -> {
            write(entries.get(i), out.resolve(names.get(i)));
            progress.at((double) done.incrementAndGet() / entries.size());
        });
        return copied;
    }

    private static boolean sameSeries(Entry one, Entry other) {
        return one.patient.equals(other.patient) && one.series.equals(other.series) && one.kind.equals(other.kind);
    }

    private String folder(Entry entry, List<CopiedSeries> before) {
        String patient = pseudonyms.patient(entry.patient);
        long number =
                before.stream().filter(s -> s.folder.startsWith(patient + "/")).count();
        return patient + String.format(Locale.ROOT, "/series-%02d", number + 1);
    }

    private void write(Entry entry, Path to) throws InputException {
        try {
            DicomReader.Header file = DicomReader.readFile(entry.file);
            DataSet copy = Pseudonymiser.of(
                    file.set(), pseudonyms, timelines.get(entry.patient), pseudonyms.patient(entry.patient));
            if (file.pixelTag() != 0) copy.put(CleanPixels.of(file));
            boolean isCode = file.pixelTag() != 0 && file.syntax().isEncapsulated();
            DicomWriter.write(to, copy, isCode ? file.syntax() : TransferSyntax.EXPLICIT_LITTLE_ENDIAN);
        } catch (IOException e) {
            throw new InputException(entry.file, "", "a file that cannot be copied: " + e.getMessage(), "a DICOM file");
        } catch (IllegalArgumentException e) {
            throw InputException.refused(entry.file, "", e);
        }
    }
}
