// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The series of one study, each with its role.
 *
 * @param pseudonym a name that tells studies apart and nobody who it is
 * @param series those with images, in a fixed order
 * @param decisions what was passed over or decided while looking through the folder
 */
public record Study(String pseudonym, List<Series> series, List<String> decisions) {
    public Study {
        series = List.copyOf(series);
        decisions = List.copyOf(decisions);
    }

    /**
     * Looks through a folder of DICOM files, in any nesting, or of NIfTI files with a {@code study.yaml}. Voxels are not
     * read yet.
     *
     * @throws InputException if it holds no series
     */
    public static Study open(Path folder, Workers workers, Progress progress) throws InputException {
        if (!Files.isDirectory(folder))
            throw new InputException(
                    folder, "", Files.exists(folder) ? "a file" : "no such folder", "a study's folder");
        if (Files.isRegularFile(folder.resolve(NiftiStudy.FILE)))
            return new Study("case", NiftiStudy.open(folder), List.of());
        return DicomStudy.open(folder, workers, progress);
    }

    /** A study of one NIfTI file, without a role. */
    public static Study ofFile(Path file) {
        return new Study("case", List.of(NiftiStudy.unnamed(file)), List.of());
    }

    /**
     * The study with roles as the case file sets them.
     *
     * @throws InputException if it names a series that is not there
     */
    public Study with(Map<Role, String> overrides, Object caseFile) throws InputException {
        List<Series> changed = new ArrayList<>(series);
        for (Map.Entry<Role, String> override : overrides.entrySet()) {
            int at = indexOf(override.getValue());
            if (at < 0)
                throw new InputException(
                        caseFile,
                        "series." + override.getKey().key(),
                        override.getValue(),
                        "the UID or file of a series of this study");
            // the named series alone has the role
            changed.replaceAll(s -> s.role().equals(Optional.of(override.getKey()))
                    ? s.with(Optional.empty(), "the case file gives its role to another")
                    : s);
            changed.set(at, changed.get(at).with(Optional.of(override.getKey()), "named in the case file"));
        }
        return new Study(pseudonym, changed, decisions);
    }

    /** The series with a role, the one with most images first. */
    public List<Series> of(Role role) {
        return series.stream()
                .filter(s -> s.role().equals(Optional.of(role)))
                .sorted(Comparator.comparingInt(Series::images).reversed())
                .toList();
    }

    private int indexOf(String id) {
        for (int i = 0; i < series.size(); i++) if (series.get(i).id().equals(id)) return i;
        return -1;
    }
}
