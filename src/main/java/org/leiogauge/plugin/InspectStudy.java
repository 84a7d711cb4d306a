// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.util.List;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.Study;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Lists the series of a study with the role of each and why. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: look through a study",
        menuPath = "Plugins>Leiogauge>Look Through a Study...",
        headless = true)
public final class InspectStudy extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Study",
            style = "directory",
            description = "folder of DICOM files, or of NIfTI files")
    private File folder;

    @Parameter(type = ItemIO.OUTPUT, label = "Series")
    private CsvTable table;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public InspectStudy() {
        super("looking");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException {
        Study study = Study.open(folder.toPath(), workers, progress);
        table = new CsvTable(
                List.of("series", "images", "role", "reason"),
                study.series().stream().map(InspectStudy::row).toList());
        decisions = String.join("\n", study.decisions());
    }

    private static List<String> row(Series series) {
        return List.of(
                series.label(),
                Integer.toString(series.images()),
                series.role().map(Role::key).orElse(""),
                series.reason());
    }
}
