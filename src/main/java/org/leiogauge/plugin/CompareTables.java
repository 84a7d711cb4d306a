// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.List;
import org.leiogauge.cohort.AgreementFolder;
import org.leiogauge.cohort.ReaderAgreement;
import org.leiogauge.measure.Software;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Says how well two feature tables agree on the same lesions. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: compare two tables",
        menuPath = "Plugins>Leiogauge>Compare Two Tables...",
        headless = true)
public final class CompareTables extends Job {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "First table",
            description = "features.csv of the first reader or scan")
    private File first;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Second table",
            description = "the same lesions, measured again")
    private File second;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Results (folder for figures and page)",
            style = "directory",
            required = false)
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Agreement")
    private CsvTable table;

    public CompareTables() {
        super("comparing");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        ReaderAgreement agreement =
                ReaderAgreement.of(List.of(first.toPath(), second.toPath()), List.of(), workers, progress.part(0, 0.5));
        progress.at(0.5);
        if (path(out).isPresent()) AgreementFolder.write(agreement, Software.NAME, out.toPath());
        table = AgreementFolder.table(agreement);
    }
}
