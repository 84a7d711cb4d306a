// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.List;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.AlignedSeries;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Lays one series of a study over an outline drawn on another. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: align a series",
        menuPath = "Plugins>Leiogauge>Align a Series...",
        headless = true)
public final class AlignSeries extends OutlineJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Series",
            choices = {"t2", "t1", "t1-fat-sat", "pre-contrast", "post-contrast", "dwi", "adc"},
            description = "the role of the series to be laid over the outline")
    private String role = "dwi";

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
            description = ".nii or .nii.gz")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Aligned image, on the grid of the outline's series")
    private Volume image;

    @Parameter(type = ItemIO.OUTPUT, label = "Residual (mm, root mean square)")
    private double residual;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public AlignSeries() {
        super("aligning");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        if (path(out).isPresent() && !NiftiReader.isNamedSo(out.toPath()))
            throw new InputException("Save as", "", out.toString(), "a name in .nii or .nii.gz");
        Role wanted = role(role);
        Study opened = open(workers, progress.part(0, 0.2));
        Outline drawn = drawn(opened, workers, progress.part(0.2, 0.4));
        AlignedSeries aligned = AlignedSeries.of(
                opened, drawn, wanted, SettingsFile.read(path(settings), List.of()), workers, progress.part(0.4, 1));
        if (path(out).isPresent()) NiftiWriter.write(out.toPath(), aligned.image());
        image = aligned.image();
        residual = aligned.residualMm();
        decisions = String.join("\n", aligned.decisions());
    }
}
