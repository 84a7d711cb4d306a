// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.leiogauge.feature.Settings;
import org.leiogauge.feature.StandardFeatures;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The standard's features of one image and one mask, as files. */
public final class ImageAndMask {
    private ImageAndMask() {}

    /**
     * @param image NIfTI file, or folder of DICOM files
     * @param mask NIfTI mask, RTSTRUCT or DICOM segmentation
     * @param roi which region of the mask's file
     * @param settings with a filter: the features of its response to the whole image
     * @param decisions where what was decided for the reader goes
     * @throws InputException if a file is not usable, or the settings do not suit the image
     */
    public static List<FeatureValue> features(
            Path image,
            Path mask,
            Optional<String> roi,
            SettingsFile.OfImage settings,
            List<String> decisions,
            Workers workers,
            Progress progress)
            throws InputException {
        Region read = read(image, mask, roi, decisions, workers, progress.part(0, 0.4));
        Progress rest = progress.part(0.4, 1);
        if (settings.filter().isEmpty())
            return features(image, read.volume(), read.mask(), settings.features(), workers, rest);
        FilteredImage.require(image, read.volume(), settings);
        try {
            return StandardFeatures.measure(
                    read.volume(), read.mask(), settings.features(), settings.filter(), workers, rest);
        } catch (IllegalArgumentException e) {
            throw InputException.refused(image, "features", e);
        }
    }

    /** A volume and a mask on its grid. */
    public record Region(Volume volume, Mask mask) {}

    /**
     * @param decisions where it is said which of several series was taken, and what was passed over
     * @throws InputException if a file is not usable
     */
    public static Region read(
            Path image, Path mask, Optional<String> roi, List<String> decisions, Workers workers, Progress progress)
            throws InputException {
        Study study =
                Files.isDirectory(image) ? Study.open(image, workers, progress.part(0, 0.25)) : Study.ofFile(image);
        Outline outline = OutlineFile.read(mask, roi, study, workers, progress.part(0.25, 1));
        if (outline.content().frames().size() != 1)
            throw new InputException(
                    image, "", outline.content().frames().size() + " volumes in the series", "one volume");
        decisions.addAll(study.decisions());
        if (study.series().size() > 1)
            decisions.add("of " + study.series().size() + " series the one that the mask is of was taken: "
                    + outline.series().label());
        return new Region(outline.content().frames().get(0).volume(), outline.mask());
    }

    /**
     * The features of a volume and a mask on its grid.
     *
     * @param source the file or series as the user knows it, for messages
     * @throws InputException if a voxel of the region has no finite value, or the settings do not suit the image
     */
    public static List<FeatureValue> features(
            Object source, Volume volume, Mask mask, Settings settings, Workers workers, Progress progress)
            throws InputException {
        requireValues(source, volume, mask);
        try {
            return StandardFeatures.measure(volume, mask, settings, workers, progress);
        } catch (IllegalArgumentException e) {
            throw InputException.refused(source, "features", e);
        }
    }

    private static void requireValues(Object file, Volume volume, Mask mask) throws InputException {
        float[] values = volume.voxels();
        byte[] region = mask.voxels();
        int missing = 0;
        for (int i = 0; i < values.length; i++) if (region[i] != 0 && !Float.isFinite(values[i])) missing++;
        if (missing > 0)
            throw new InputException(
                    file,
                    "voxels",
                    Counted.of(missing, "voxel") + " of the region without a finite value",
                    "finite values");
    }
}
