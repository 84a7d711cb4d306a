// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.RegionFile;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Where the work on one case lies: case file, outline, results. Beside the study unless another place is named, never in it.
 */
record ReadingFolder(Path folder) {
    static ReadingFolder of(Path study, Optional<Path> named) {
        if (named.isPresent())
            return new ReadingFolder(named.get().toAbsolutePath().normalize());
        Path at = study.toAbsolutePath().normalize();
        return new ReadingFolder(at.resolveSibling(at.getFileName() + "-reading"));
    }

    Path caseFile() {
        return folder.resolve("case.yaml");
    }

    /** The outline as it is kept while it is drawn. */
    Path outline() {
        return folder.resolve("outline.nii.gz");
    }

    private Path contours() {
        return folder.resolve("outline.dcm");
    }

    /** The file that {@link #forMeasuring} wrote last; none if there is none. */
    Optional<Path> measured() {
        return Stream.of(contours(), outline()).filter(Files::isRegularFile).findFirst();
    }

    Path result() {
        return folder.resolve("result");
    }

    /** Keeps the region; an older one stays if this one cannot be written. An empty one takes the file away. */
    void keep(Mask region) throws IOException {
        if (region.isEmpty()) Files.deleteIfExists(outline());
        else NiftiWriter.write(outline(), region);
    }

    /**
     * The outline that was kept here, on the study's series.
     *
     * @return none if there is none
     * @throws InputException if it belongs to another study or cannot be read
     */
    Optional<Outline> kept(Study study, Workers workers, Progress progress) throws InputException {
        if (!Files.isRegularFile(outline())) return Optional.empty();
        return Optional.of(OutlineFile.read(outline(), Optional.empty(), study, workers, progress));
    }

    /**
     * Writes the region for measuring: of DICOM images as contours that name them, so that it is certain which series it was
     * drawn on; else as a mask.
     */
    Path forMeasuring(Path study, Series series, Mask region, Workers workers) throws InputException, IOException {
        if (series.sopInstances().isEmpty()) {
            keep(region);
            return outline();
        }
        Path file = contours();
        RegionFile.write(file, RegionFile.Form.RTSTRUCT, region, study, series, "lesion", workers);
        return file;
    }

    /** The files that go with a report when it is exported. */
    List<Path> results() throws IOException {
        if (!Files.isDirectory(result())) return List.of();
        try (var files = Files.walk(result())) {
            return files.filter(Files::isRegularFile).sorted().toList();
        }
    }
}
