// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.RegionFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Loads an outline that was drawn on a series of a study, as a mask on that series' grid. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: load an outline",
        menuPath = "Plugins>Leiogauge>Load an Outline...",
        headless = true)
public final class LoadOutline extends OutlineJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "File for the mask",
            style = "save",
            required = false,
            description = ".nii or .nii.gz for NIfTI, else a DICOM segmentation")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Mask")
    private Mask mask;

    @Parameter(type = ItemIO.OUTPUT, label = "Image that it was drawn on")
    private Volume image;

    @Parameter(type = ItemIO.OUTPUT, label = "Series")
    private String series;

    @Parameter(type = ItemIO.OUTPUT, label = "Volume (mm³)")
    private double volume;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public LoadOutline() {
        super("loading");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        Study opened = Study.open(study.toPath(), workers, progress.part(0, 0.3));
        Outline loaded = OutlineFile.read(outline.toPath(), text(region), opened, workers, progress.part(0.3, 0.9));
        if (path(out).isPresent())
            RegionFile.write(
                    out.toPath(),
                    RegionFile.Form.of(out.toPath()),
                    loaded.mask(),
                    study.toPath(),
                    loaded.series(),
                    loaded.name(),
                    workers);
        progress.at(1);
        mask = loaded.mask();
        image = loaded.content().frames().get(0).volume();
        series = loaded.series().label();
        volume = mask.volume();
        decisions = String.join("\n", loaded.decisions());
    }
}
