// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.AppraisalJson;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.CriteriaCard;
import org.leiogauge.appraise.CriteriaCards;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.feature.Definitions;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.Definition;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
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
            label = "Feature table",
            description = "features.csv as a study's measurement writes it")
    private File table;

    @Parameter(
            persist = false,
            label = "Prevalence (0 to 1, or a preset's name)",
            required = false,
            description = "how common the disease is before the images")
    private String prevalence;

    @Parameter(persist = false, label = "Further criteria cards", style = "directory", required = false)
    private File criteria;

    @Parameter(
            persist = false,
            label = "Case file",
            required = false,
            description = "case.yaml, with the reader's impression")
    private File caseFile;

    @Parameter(type = ItemIO.OUTPUT, label = "Appraisal")
    private String appraisal;

    @Parameter(type = ItemIO.OUTPUT, label = "Appraisal as JSON")
    private String json;

    public AppraiseTable() {
        super("appraising");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException {
        List<Appraisal> all = appraise(table.toPath(), text(prevalence), path(criteria), path(caseFile));
        progress.at(1);
        appraisal = AppraisalText.of(all);
        json = AppraisalJson.of(all);
    }

    static List<Appraisal> appraise(
            Path table, Optional<String> prevalence, Optional<Path> criteria, Optional<Path> caseFile)
            throws InputException {
        List<Definition> known = Stream.concat(LesionDefinitions.all().stream(), Definitions.all().stream())
                .toList();
        Prevalence chosen = prevalence.isPresent() ? Prevalence.of(prevalence.get()) : Prevalence.standard();
        List<CriteriaCard> cards =
                criteria.isPresent() ? CriteriaCards.with(criteria.get(), known) : CriteriaCards.shipped(known);
        Lexicon lexicon = Lexicon.shipped(known);
        Optional<CaseFile> reader = caseFile.isPresent() ? Optional.of(lexicon.read(caseFile.get())) : Optional.empty();
        return Appraisal.all(
                LesionTable.readTidy(table), Appraisal.Standards.of(cards, lexicon, chosen), reader, table);
    }
}
