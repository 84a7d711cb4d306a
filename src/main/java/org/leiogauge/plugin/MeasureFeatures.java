// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.feature.PreparedRegion;
import org.leiogauge.measure.ImageAndMask;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.FeatureFile;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.command.Previewable;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Measures the published standard's features of one image and mask. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: standard features",
        menuPath = "Plugins>Leiogauge>Standard Features of Files...",
        headless = true)
public final class MeasureFeatures extends Job implements Previewable {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Image",
            style = "both",
            description = "NIfTI file, or folder with one DICOM series")
    private File image;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Mask",
            description = "NIfTI mask, RTSTRUCT or DICOM segmentation")
    private File mask;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Region (its name in the file)",
            required = false,
            description = "which region of the mask's file")
    private String region;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Settings",
            required = false,
            description = "YAML; without, the standard ones")
    private File settings;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Save as",
            style = "save",
            required = false,
            description = "CSV")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Feature table")
    private CsvTable table;

    private final Kept<Source, ImageAndMask.Region> kept = new Kept<>();

    private record Source(File image, File mask, Optional<String> region) {}

    public MeasureFeatures() {
        super("measuring");
    }

    @Override
    public void preview() {
        foresee(workers -> {
            SettingsFile.OfImage how = SettingsFile.readOfImage(path(settings), List.of());
            if (how.filter().isPresent()) return "what a filter leaves is not foreseen";
            ImageAndMask.Region found = region(workers);
            try {
                return PreparedRegion.of(found.volume(), found.mask(), how.features(), workers, Progress.NONE)
                        .flatMap(PreparedRegion::levels)
                        .map(levels -> levels.voxels() + " voxels in " + levels.count() + " grey levels")
                        .orElse("no voxel of the region has an intensity that counts");
            } catch (IllegalArgumentException e) {
                throw InputException.refused(image, "features", e);
            }
        });
    }

    private ImageAndMask.Region region(Workers workers) throws InputException {
        if (image == null || mask == null) throw new InputException("Image and mask", "", "nothing", "two files");
        return kept.of(
                new Source(image, mask, text(region)),
                () -> ImageAndMask.read(
                        image.toPath(), mask.toPath(), text(region), new ArrayList<>(), workers, Progress.NONE));
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        List<FeatureValue> values = ImageAndMask.features(
                image.toPath(),
                mask.toPath(),
                text(region),
                SettingsFile.readOfImage(path(settings), List.of()),
                new ArrayList<>(),
                workers,
                progress);
        Optional<File> wanted = Optional.ofNullable(out);
        if (wanted.isPresent()) FeatureFile.write(wanted.get().toPath(), values);
        table = FeatureFile.table(values);
    }
}
