// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.TreeSet;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/** A study of NIfTI files: a folder with a {@code study.yaml} that names each file and its role. */
final class NiftiStudy {
    static final String FILE = "study.yaml";

    private NiftiStudy() {}

    /**
     * The study file.
     *
     * @param series one entry per file
     */
    record StudyFile(List<Entry> series) {
        StudyFile {
            if (series == null || series.isEmpty())
                throw new IllegalArgumentException("series must list one file or more");
            series = List.copyOf(series);
        }
    }

    /**
     * @param file name in the study's folder
     * @param bValues in s/mm², one per volume of the file
     * @param seconds after injection, one per volume of the file
     */
    record Entry(String file, Role role, List<Double> bValues, List<Double> seconds) {
        Entry {
            if (file == null || role == null) throw new IllegalArgumentException("a series needs file and role");
            bValues = bValues == null ? List.of() : List.copyOf(bValues);
            seconds = seconds == null ? List.of() : List.copyOf(seconds);
        }
    }

    static List<Series> open(Path folder) throws InputException {
        Path studyFile = folder.resolve(FILE);
        List<Series> series = new ArrayList<>();
        for (Entry entry : Yaml.PLAIN.read(studyFile, StudyFile.class).series())
            series.add(series(folder, studyFile, entry));
        return series;
    }

    /** One file of which nothing is known but its voxels. */
    static Series unnamed(Path file) {
        String name = file.getFileName().toString();
        return new Series(
                name,
                name,
                facts(name, List.of(), 1),
                Acquisition.UNKNOWN,
                Optional.empty(),
                "one file",
                1,
                "",
                Set.of(),
                (workers, progress) -> read(file));
    }

    private static Series.Content read(Path file) throws InputException {
        NiftiReader.Content content = NiftiReader.readAll(file);
        return new Series.Content(content.volumes().stream().map(Frame::of).toList(), content.decisions());
    }

    private static Series series(Path folder, Path studyFile, Entry entry) throws InputException {
        Path file = inside(folder, studyFile, entry.file());
        return new Series(
                entry.file(),
                entry.file(),
                facts(entry.file(), entry.bValues(), Math.max(1, entry.seconds().size())),
                acquisition(NiftiReader.readGrid(file), entry),
                Optional.of(entry.role()),
                "named in " + FILE,
                1,
                "",
                Set.of(),
                (workers, progress) -> read(file, studyFile, entry));
    }

    private static Acquisition acquisition(Grid grid, Entry entry) {
        return new Acquisition(
                OptionalDouble.of(Math.max(grid.spacing().x(), grid.spacing().y())),
                OptionalDouble.of(grid.spacing().z()),
                OptionalDouble.empty(),
                entry.seconds());
    }

    private static SeriesFacts facts(String name, List<Double> bValues, int phases) {
        return new SeriesFacts(
                "",
                name,
                List.of(),
                List.of(),
                List.of(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                OptionalDouble.empty(),
                List.copyOf(new TreeSet<>(bValues)),
                false,
                phases);
    }

    private static Path inside(Path folder, Path studyFile, String name) throws InputException {
        Path file = folder.resolve(name).normalize();
        if (!file.startsWith(folder.normalize()) || !Files.isRegularFile(file))
            throw new InputException(studyFile, "file", name, "the name of a file in the study's folder");
        return file;
    }

    private static Series.Content read(Path file, Path studyFile, Entry entry) throws InputException {
        NiftiReader.Content content = NiftiReader.readAll(file);
        int volumes = content.volumes().size();
        requireOnePerVolume(studyFile, "b-values", entry.file(), entry.bValues(), volumes);
        requireOnePerVolume(studyFile, "seconds", entry.file(), entry.seconds(), volumes);
        List<Frame> frames = new ArrayList<>();
        for (int i = 0; i < volumes; i++) {
            Volume volume = content.volumes().get(i);
            frames.add(new Frame(volume, at(entry.bValues(), i), at(entry.seconds(), i)));
        }
        return new Series.Content(frames, content.decisions());
    }

    private static void requireOnePerVolume(Path studyFile, String key, String file, List<Double> values, int volumes)
            throws InputException {
        if (!values.isEmpty() && values.size() != volumes)
            throw new InputException(
                    studyFile, key + " of " + file, values.size() + " values", "one per volume, " + volumes);
    }

    private static OptionalDouble at(List<Double> values, int i) {
        return values.isEmpty() ? OptionalDouble.empty() : OptionalDouble.of(values.get(i));
    }
}
