// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Reads a drawn region and finds the series of the study that it belongs to. */
public final class OutlineFile {
    // A mask was made from the series' own grid: what remains is the rounding of 32-bit headers.
    private static final double SAME_PLACE_MM = 0.01;

    private OutlineFile() {}

    /**
     * Reads a region.
     *
     * @param file NIfTI mask, RTSTRUCT or DICOM segmentation
     * @param roi the region's name in the file; may be absent where the file holds one region
     * @throws InputException if the file is not usable, no series has the region, or the region is empty
     */
    public static Outline read(Path file, Optional<String> roi, Study study, Workers workers, Progress progress)
            throws InputException {
        if (!Files.isRegularFile(file))
            throw new InputException(file, "", "no such file", "RTSTRUCT, DICOM segmentation or NIfTI mask");
        Outline outline = NiftiReader.isNamedSo(file)
                ? mask(file, study, workers, progress)
                : DicomOutline.read(file, roi, study, workers, progress);
        if (outline.mask().isEmpty())
            // a mask is called after its file, which is named already
            throw new InputException(
                    file,
                    NiftiReader.isNamedSo(file) ? "" : outline.name(),
                    "an empty region",
                    "a region of one voxel or more");
        return outline;
    }

    /** The names of the regions in an RTSTRUCT or DICOM segmentation, in the order of the file. */
    public static List<String> names(Path file) throws InputException {
        if (!Files.isRegularFile(file))
            throw new InputException(file, "", "no such file", "RTSTRUCT or DICOM segmentation");
        return DicomOutline.names(file);
    }

    /**
     * The other regions of the file that lie on the outline's grid, by name in the order of the file; none for a mask.
     *
     * @throws InputException if the file is not usable
     */
    public static Map<String, Mask> others(Path file, Outline outline) throws InputException {
        return NiftiReader.isNamedSo(file) ? Map.of() : DicomOutline.others(file, outline);
    }

    private static Outline mask(Path file, Study study, Workers workers, Progress progress) throws InputException {
        Mask mask = NiftiReader.readMask(file);
        Map<Grid, Series> grids = new LinkedHashMap<>();
        for (int i = 0; i < study.series().size(); i++) {
            Series series = study.series().get(i);
            Series.Content content = series.read(
                    workers,
                    progress.part(
                            (double) i / study.series().size(),
                            (i + 1.0) / study.series().size()));
            Grid grid = content.frames().get(0).volume().grid();
            if (grid.coincides(mask.grid(), SAME_PLACE_MM))
                return new Outline(
                        file.getFileName().toString(),
                        series,
                        content,
                        new Mask(grid, mask.voxels()),
                        List.of("the outline belongs to " + series.label() + ": the mask has the grid of that series"));
            grids.putIfAbsent(grid, series);
        }
        throw new InputException(file, "grid", mask.grid().toString(), expected(mask.grid(), grids));
    }

    // The grid that was meant, where one is like it; a list of all would hide what differs.
    private static String expected(Grid found, Map<Grid, Series> grids) {
        Optional<Grid> alike = grids.keySet().stream()
                .filter(g -> g.size().equals(found.size()))
                .findFirst();
        if (alike.isEmpty())
            return grids.keySet().stream()
                    .map(grid -> grid.size().toString())
                    .distinct()
                    .collect(Collectors.joining(", ", "the grid of a series of the study, of ", " voxels"));
        String words = alike.get().toString();
        return words + (words.equals(found.toString()) ? " turned otherwise or a little moved" : "") + ", as "
                + grids.get(alike.get()).label() + " has";
    }
}
