// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.List;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.OutlineRecipe;
import org.leiogauge.measure.OutlineRequest;
import org.leiogauge.measure.RegionFile;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Fills a rough outline in between its slices and moves its border to the edge. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: refine an outline",
        menuPath = "Plugins>Leiogauge>Refine an Outline...",
        headless = true)
public final class RefineOutline extends StudyJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Rough outline",
            description = "RTSTRUCT, DICOM segmentation, or NIfTI mask",
            attrs = @Attr(name = DRAWN, value = DRAWN_REGION))
    private File rough;

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
            description = ".nii or .nii.gz for NIfTI, else a DICOM segmentation")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Region")
    private Mask mask;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public RefineOutline() {
        super("refining");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        OutlineRequest request = new OutlineRequest(
                study(),
                rough.toPath(),
                text(region),
                SettingsFile.read(path(settings), List.of()).outline());
        OutlineRecipe.Result result = OutlineRecipe.run(request, workers, progress);
        Mask refined = result.refined().mask();
        if (path(out).isPresent())
            RegionFile.write(
                    out.toPath(),
                    RegionFile.Form.of(out.toPath()),
                    refined,
                    study(),
                    result.outline().series(),
                    result.outline().name(),
                    workers);
        mask = refined;
        decisions = String.join("\n", result.decisions());
    }
}
