// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.command.Command;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Loads an outline that was drawn on a series of a study. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: load an outline",
        menuPath = "Plugins>Leiogauge>Load an Outline...",
        headless = true)
public final class LoadOutline extends OutlineSource {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Outline",
            description = "the lesion: RTSTRUCT, DICOM segmentation, or NIfTI mask",
            attrs = @Attr(name = DRAWN, value = DRAWN_REGION))
    private File outline;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Region (its name in the file)",
            required = false,
            description = "which region of the outline's file")
    private String region;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Save as",
            style = "save",
            required = false,
            description = ".nii or .nii.gz for NIfTI, else a DICOM segmentation")
    private File out;

    public LoadOutline() {
        super("loading");
    }

    @Override
    File out() {
        return out;
    }

    @Override
    Outline outline(Study opened, Workers workers, Progress progress) throws InputException {
        return OutlineFile.read(outline.toPath(), text(region), opened, workers, progress);
    }
}
