// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.leiogauge.measure.ReferencePlacement;
import org.leiogauge.measure.ReferencesFile;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Study;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFile;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Attr;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Places reference regions as balls, by points or proposed, and says what they hold. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: place reference regions",
        menuPath = "Plugins>Leiogauge>Place Reference Regions...",
        headless = true)
public final class PlaceReferences extends OutlineJob {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Places (LPS, mm)",
            required = false,
            description =
                    "tissue, x, y, z and radius, several between semicolons, as muscle 57 40 5 7; blank: proposed",
            attrs = @Attr(name = DRAWN, value = DRAWN_PLACES))
    private String places;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Case file",
            required = false,
            description = "case.yaml, to which the places are added")
    private File caseFile;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Save as",
            style = "save",
            required = false,
            description = "a new case.yaml; of a proposal, a file of references that a reader has to confirm")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "Reference regions")
    private CsvTable table;

    @Parameter(type = ItemIO.OUTPUT, label = "Case file with the places, or proposal")
    private String references;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public PlaceReferences() {
        super("looking");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        Study found = open(workers, progress.part(0, 0.2));
        CaseFile given =
                path(caseFile).isPresent() ? CaseFile.read(caseFile.toPath()) : CaseFile.named(found.pseudonym());
        Study opened = found.with(
                given.series(), path(caseFile).<Object>map(file -> file).orElse(""));
        Outline drawn = drawn(opened, workers, progress.part(0.2, 0.5));
        String yaml = text(places).isPresent()
                ? placed(opened, drawn, given, workers, progress.part(0.5, 1))
                : proposed(drawn, workers);
        progress.at(1);
        if (path(out).isPresent()) WholeFile.write(out.toPath(), to -> to.write(yaml.getBytes(StandardCharsets.UTF_8)));
        references = yaml;
    }

    private String placed(Study opened, Outline drawn, CaseFile given, Workers workers, Progress progress)
            throws InputException {
        ReferencePlacement placed = ReferencePlacement.of(opened, drawn, places, workers, progress);
        table = placed.table();
        decisions = "looked at on " + placed.series().label();
        return Yaml.PLAIN.text(placed.in(given));
    }

    private String proposed(Outline drawn, Workers workers) throws InputException {
        ReferencesFile.Draft draft = ReferencesFile.propose(drawn, drawn.mask(), outline, workers);
        table = new CsvTable(ReferencePlacement.COLUMNS, List.of());
        decisions = String.join("\n", draft.said());
        return draft.text();
    }
}
