// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.time.LocalDateTime;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.ReportFolder;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Writes the report of a measured case again, with another impression, other criteria or another prevalence. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: write a report",
        menuPath = "Plugins>Leiogauge>Write a Report...",
        headless = true)
public final class WriteReport extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Measured case",
            style = "directory",
            description = "folder that a study's measurement wrote; it stays as it is")
    private File measured;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Case file",
            required = false,
            description = "case.yaml, with the reader's impressions")
    private File caseFile;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Criteria (folder of further cards)",
            style = "directory",
            required = false)
    private File criteria;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Prevalence (0 to 1, or a preset's name)",
            required = false,
            description = "how common the disease is before the images")
    private String prevalence;

    @Parameter(persist = false, autoFill = false, label = "Results (folder)", style = "directory")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Report")
    private File report;

    @Parameter(type = ItemIO.OUTPUT, label = "Report as PDF")
    private File paper;

    public WriteReport() {
        super("writing");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        progress.at(0);
        BlindReading reading = BlindReading.begin(path(caseFile), LocalDateTime.now());
        ReportFolder.write(measured.toPath(), path(caseFile), path(criteria), text(prevalence), out.toPath());
        warn(reading.numbersShown(LocalDateTime.now()));
        progress.at(1);
        report = new File(out, "report.html");
        paper = new File(out, "report.pdf");
    }
}
