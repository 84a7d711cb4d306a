// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.concurrent.atomic.AtomicInteger;
import java.util.function.Function;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * What a folder holds: series of images, other DICOM objects, and files that are neither.
 *
 * @param series by number, then by UID
 * @param others structure sets, segmentations and what else is no stack of images, by path
 * @param ignored files that are passed over, with the reason, by path
 */
public record DicomFolder(List<ImageSeries> series, List<DicomObject> others, List<String> ignored) {
    private static final int MOST_FILES = 1_000_000;

    public DicomFolder {
        series = List.copyOf(series);
        others = List.copyOf(others);
        ignored = List.copyOf(ignored);
    }

    private sealed interface Found permits Images, Other, Ignored {}

    private record Images(DataSet set, List<Slice> slices) implements Found {}

    private record Other(DicomObject object) implements Found {}

    private record Ignored(Path file, String reason) implements Found {}

    /**
     * Reads the headers of all files in a folder and below it.
     *
     * @throws InputException if the folder cannot be read; a file that cannot is listed as ignored
     */
    public static DicomFolder scan(Path folder, Workers workers, Progress progress) throws InputException {
        List<Path> files = files(folder);
        AtomicInteger done = new AtomicInteger();
        List<Found> found = workers.map(files.size(), i -> {
            Found one = look(files.get(i));
            progress.at(done.incrementAndGet() / (double) files.size());
            return one;
        });
        Map<String, List<Images>> bySeries = new TreeMap<>();
        for (Found one : found)
            if (one instanceof Images images)
                bySeries.computeIfAbsent(
                                images.set.text(Tag.SERIES_INSTANCE_UID).orElse("unknown"), uid -> new ArrayList<>())
                        .add(images);
        return new DicomFolder(
                bySeries.entrySet().stream()
                        .map(entry -> series(entry.getKey(), entry.getValue()))
                        .sorted(Comparator.comparingInt(
                                        (ImageSeries s) -> s.number().orElse(Integer.MAX_VALUE))
                                .thenComparing(ImageSeries::seriesUid))
                        .toList(),
                found.stream()
                        .filter(Other.class::isInstance)
                        .map(f -> ((Other) f).object)
                        .toList(),
                found.stream()
                        .filter(Ignored.class::isInstance)
                        .map(f -> ((Ignored) f).file.getFileName() + ": " + ((Ignored) f).reason)
                        .toList());
    }

    private static List<Path> files(Path folder) throws InputException {
        // links are not followed: they may lead in a circle
        try (Stream<Path> walk = Files.walk(folder)) {
            List<Path> files = walk.filter(Files::isRegularFile)
                    .limit(MOST_FILES + 1L)
                    .sorted()
                    .toList();
            if (files.size() > MOST_FILES)
                throw new InputException(folder, "", "more than " + MOST_FILES + " files", "the folder of one study");
            return files;
        } catch (IOException | UncheckedIOException e) {
            throw new InputException(folder, "", "a folder that cannot be read", "a study's folder");
        }
    }

    private static Found look(Path file) {
        try {
            if (!DicomReader.isDicom(file)) return new Ignored(file, "not a DICOM file");
            DicomReader.Header header = DicomReader.readHeader(file);
            if (header.meta()
                    .text(Tag.MEDIA_STORAGE_SOP_CLASS_UID)
                    .filter(uid -> uid.equals("1.2.840.10008.1.3.10"))
                    .isPresent()) return new Ignored(file, "a DICOM directory");
            if (isStackImage(header)) return new Images(header.set(), Slice.of(header));
            return new Other(object(header));
        } catch (InputException e) {
            return new Ignored(file, e.getMessage());
        } catch (IOException e) {
            return new Ignored(file, "cannot be read");
        }
    }

    // A segmentation has a place in the patient too, but is no image.
    private static boolean isStackImage(DicomReader.Header header) {
        DataSet set = header.set();
        return header.pixelTag() != 0
                && !set.text(Tag.MODALITY).equals(Optional.of("SEG"))
                && (set.has(Tag.IMAGE_POSITION_PATIENT)
                        || set.has(Tag.PER_FRAME_FUNCTIONAL_GROUPS_SEQUENCE)
                        || set.has(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE));
    }

    private static DicomObject object(DicomReader.Header header) {
        DataSet set = header.set();
        return new DicomObject(
                header.file(),
                set.text(Tag.SOP_CLASS_UID).orElse(""),
                set.text(Tag.MODALITY).orElse(""),
                set.text(Tag.SERIES_INSTANCE_UID).orElse(""),
                set.text(Tag.SERIES_DESCRIPTION).orElse(""),
                set.text(Tag.FRAME_OF_REFERENCE_UID).orElse(""));
    }

    private static ImageSeries series(String uid, List<Images> images) {
        DataSet set = images.get(0).set;
        List<Slice> slices = images.stream().flatMap(i -> i.slices.stream()).toList();
        List<String> problems = new ArrayList<>();
        OptionalDouble echo = slices.get(0).echoTime();
        ImageSeries series = new ImageSeries(
                uid,
                set.text(Tag.STUDY_INSTANCE_UID).orElse(""),
                set.text(Tag.FRAME_OF_REFERENCE_UID).orElse(""),
                set.text(Tag.MODALITY).orElse(""),
                set.text(Tag.SERIES_DESCRIPTION).orElse(""),
                set.text(Tag.PROTOCOL_NAME).orElse(""),
                number(set, Tag.SERIES_NUMBER, problems).stream()
                        .mapToInt(d -> (int) d)
                        .findFirst(),
                List.of(slices.get(0).imageType().split("\\\\")),
                set.texts(Tag.SCANNING_SEQUENCE),
                set.texts(Tag.SEQUENCE_VARIANT),
                set.texts(Tag.SCAN_OPTIONS),
                timing(set, Tag.REPETITION_TIME, problems),
                echo,
                number(set, Tag.INVERSION_TIME, problems),
                timing(set, Tag.FLIP_ANGLE, problems),
                number(set, Tag.MAGNETIC_FIELD_STRENGTH, problems),
                set.text(Tag.CONTRAST_BOLUS_AGENT),
                Moment.ofTime(set.text(Tag.CONTRAST_BOLUS_START_TIME)),
                slices.stream().flatMapToDouble(s -> s.acquired().stream()).min(),
                distinct(slices, s -> s.bValue().stream().map(BValue::value)),
                distinct(slices, s -> s.echoTime().stream().boxed()),
                timePoints(slices),
                set.text(Tag.MANUFACTURER).orElse(""),
                set.text(Tag.MANUFACTURER_MODEL_NAME).orElse(""),
                problems,
                slices);
        return SeriesReader.problem(series).map(series::withProblem).orElse(series);
    }

    // Diffusion series come back to the same place for other reasons than time.
    private static int timePoints(List<Slice> slices) {
        long stated = slices.stream()
                .flatMapToInt(s -> s.temporalPosition().stream())
                .distinct()
                .count();
        boolean diffusion = slices.stream().anyMatch(s -> s.bValue().isPresent());
        return stated > 1 ? (int) stated : diffusion ? 1 : SeriesReader.turns(slices);
    }

    // Enhanced objects hold them in a shared group (PS3.3 C.8.13.5.2).
    private static OptionalDouble timing(DataSet set, int tag, List<String> problems) {
        DataSet group = set.item(Tag.SHARED_FUNCTIONAL_GROUPS_SEQUENCE)
                .flatMap(g -> g.item(Tag.MR_TIMING_AND_RELATED_PARAMETERS_SEQUENCE))
                .filter(g -> g.has(tag))
                .orElse(set);
        return number(group, tag, problems);
    }

    private static OptionalDouble number(DataSet set, int tag, List<String> problems) {
        try {
            return set.number(tag);
        } catch (InputException e) {
            problems.add(e.getMessage());
            return OptionalDouble.empty();
        }
    }

    private static List<Double> distinct(List<Slice> slices, Function<Slice, Stream<Double>> values) {
        return List.copyOf(slices.stream().flatMap(values).collect(Collectors.toCollection(TreeSet::new)));
    }
}
