// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.time.LocalDateTime;
import java.util.List;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.AppraisalJson;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.TableAppraisal;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.ItemVisibility;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Holds the lesions of a feature table against criteria cards and textbook patterns. Not a diagnosis. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: appraise a table",
        menuPath = "Plugins>Leiogauge>Appraise a Table...",
        headless = true)
public final class AppraiseTable extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Table (features.csv)",
            description = "as a study's measurement writes it")
    private File table;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Prevalence (0 to 1, or a preset's name)",
            required = false,
            description = "how common the disease is before the images")
    private String prevalence;

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
            label = "Case file",
            required = false,
            description = "case.yaml, with the reader's impression")
    private File caseFile;

    @Parameter(type = ItemIO.OUTPUT, label = "Appraisal")
    private String appraisal;

    @Parameter(type = ItemIO.OUTPUT, visibility = ItemVisibility.INVISIBLE, label = "Appraisal as JSON")
    private String json;

    public AppraiseTable() {
        super("appraising");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        BlindReading reading = BlindReading.begin(path(caseFile), LocalDateTime.now());
        List<Appraisal> all = TableAppraisal.of(table.toPath(), path(criteria), text(prevalence), path(caseFile));
        progress.at(1);
        warn(reading.numbersShown(LocalDateTime.now()));
        appraisal = AppraisalText.of(all);
        json = AppraisalJson.of(all);
    }
}
