// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.nio.file.Path;
import org.leiogauge.feature.PreparedRegion;
import org.leiogauge.feature.filter.Filter;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The standard's filters on an image in a file: interpolated first, where the settings of the features say so, then filtered;
 * the same image that the features of a filtered region are measured on.
 */
public final class FilteredImage {
    private FilteredImage() {}

    /**
     * @param image NIfTI file, or folder with one DICOM series of one volume
     * @param settings with a filter
     * @throws InputException if the file is not usable, the settings name no filter, or do not suit the image
     */
    public static Volume of(Path image, SettingsFile.OfImage settings, Workers workers, Progress progress)
            throws InputException {
        Filter filter = settings.filter()
                .orElseThrow(() -> new InputException(
                        "filter",
                        "",
                        "none",
                        "one, by --set 'filter={kind: mean, support: 5}' or as the key filter of a --settings file"));
        Volume volume = read(image, workers, progress.part(0, 0.2));
        require(image, volume, settings);
        try {
            Volume values = PreparedRegion.interpolated(volume, settings.features(), workers, progress.part(0.2, 0.4));
            return filter.apply(values, workers, progress.part(0.4, 1));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(image, "filter", e);
        }
    }

    private static Volume read(Path image, Workers workers, Progress progress) throws InputException {
        Study study =
                Files.isDirectory(image) ? Study.open(image, workers, progress.part(0, 0.5)) : Study.ofFile(image);
        if (study.series().size() != 1)
            throw new InputException(image, "", study.series().size() + " series", "one series");
        Series.Content content = study.series().get(0).read(workers, progress.part(0.5, 1));
        if (content.frames().size() != 1)
            throw new InputException(image, "", content.frames().size() + " volumes in the series", "one volume");
        return content.frames().get(0).volume();
    }

    /**
     * A filter carries a voxel without a value over the whole image, and needs memory for all of it.
     *
     * @param source the file as the user knows it
     */
    static void require(Object source, Volume volume, SettingsFile.OfImage settings) throws InputException {
        int missing = 0;
        for (float value : volume.voxels()) if (!Float.isFinite(value)) missing++;
        if (missing > 0)
            throw new InputException(
                    source,
                    "voxels",
                    Counted.of(missing, "voxel") + " of the image without a finite value",
                    "finite values");
        try {
            Grid grid = PreparedRegion.interpolatedGrid(volume.grid(), settings.features());
            // the interpolated image, its response, and what interpolation works in
            long needed = settings.filter().orElseThrow().bytes(grid)
                    + 16L * grid.size().voxels();
            long most = Runtime.getRuntime().maxMemory();
            if (needed > most)
                throw new InputException(
                        source,
                        "filter",
                        (needed >> 20) + " MB of memory needed for " + grid.size() + " voxels",
                        "at most " + (most >> 20) + " MB");
        } catch (IllegalArgumentException e) {
            throw InputException.refused(source, "filter", e);
        }
    }
}
