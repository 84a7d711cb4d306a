// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.appraise.CriteriaCards;
import org.leiogauge.appraise.Lexicon;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.feature.Definitions;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.Definition;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;

/** What lesions are held against, and every lesion of a table held against it: what every front end calls. */
public final class TableAppraisal {
    private TableAppraisal() {}

    /**
     * Appraises every lesion of a feature table.
     *
     * @param criteria folder of further criteria cards
     * @param prevalence a number or a preset's name; none: the standard one
     * @param caseFile with the impression of one of the lesions
     * @throws InputException if a file or the prevalence is not usable
     */
    public static List<Appraisal> of(
            Path table, Optional<Path> criteria, Optional<String> prevalence, Optional<Path> caseFile)
            throws InputException {
        Standards standards = standards(criteria, prevalence);
        Optional<CaseFile> reader =
                caseFile.isPresent() ? Optional.of(standards.lexicon().read(caseFile.get())) : Optional.empty();
        return Appraisal.all(LesionTable.readTidy(table), standards, reader, table);
    }

    /** What lesions are held against: the cards, the lexicon, the patterns and the prevalence. */
    public static Standards standards(Optional<Path> criteria, Optional<String> prevalence) throws InputException {
        List<Definition> known = definitions();
        Prevalence chosen = prevalence.isPresent() ? Prevalence.of(prevalence.get()) : Prevalence.standard();
        return Standards.of(
                criteria.isPresent() ? CriteriaCards.with(criteria.get(), known) : CriteriaCards.shipped(known),
                Lexicon.shipped(known),
                chosen);
    }

    /** All that this program can measure: the lesion's own signs, then the standard's features. */
    static List<Definition> definitions() {
        return Stream.concat(LesionDefinitions.all().stream(), Definitions.all().stream())
                .toList();
    }
}
