// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.measure.Software;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Measures one lesion of a study and writes the folder with tables and report. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: measure a study",
        menuPath = "Plugins>Leiogauge>Measure a Study...",
        headless = true)
public final class MeasureStudy extends OutlineJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "References (regions' file)",
            required = false,
            description = "RTSTRUCT or DICOM segmentation")
    private File references;

    @Parameter(persist = false, autoFill = false, label = "Case file", required = false, description = "case.yaml")
    private File caseFile;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Settings",
            required = false,
            description = "YAML; without, the standard ones")
    private File settings;

    @Parameter(persist = false, autoFill = false, label = "Results (folder)", style = "directory")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Feature table")
    private CsvTable table;

    @Parameter(type = ItemIO.OUTPUT, label = "Report")
    private File report;

    public MeasureStudy() {
        super("measuring");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        Path folder = out.toPath();
        CaseRequest request = new CaseRequest(
                study(),
                outline.toPath(),
                text(region),
                path(references),
                path(caseFile),
                SettingsFile.read(path(settings), List.of()),
                Software.NAME,
                List.of());
        BlindReading reading = BlindReading.begin(path(caseFile), LocalDateTime.now());
        CaseMeasurement.run(request, folder, workers, progress);
        warn(reading.numbersShown(LocalDateTime.now()));
        table = CsvTable.read(folder.resolve("features.csv"));
        report = folder.resolve("report.html").toFile();
    }
}
