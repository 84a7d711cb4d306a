// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.table.LesionRow;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Seed;

/**
 * All that is said of one lesion: the cards, the pattern chart, the reader's impressions beside the measured signs. Several
 * findings side by side, never one verdict.
 *
 * @param signs what the measured values say of each sign of the lexicon
 * @param comparisons per impression and sign that the reader called; empty without an impression
 * @param concern the reader's overall concern, per impression that gives one
 * @param notes what must be known to read the rest
 */
public record Appraisal(
        String caseName,
        String lesion,
        Prevalence prevalence,
        List<CardResult> cards,
        PatternChart chart,
        List<SignReading> signs,
        List<SignComparison> comparisons,
        List<Concern> concern,
        List<String> notes) {

    /** What stands under every appraisal. */
    public static final List<String> CAUTIONS = List.of(
            "A research measuring instrument, not a diagnosis. Licensed practice and local rules come first.",
            "No criterion here was validated on the values that this program measures; each card says what stands in for "
                    + "what readers saw.",
            "Most counts come from small sets in which a third or more had the disease. In practice criteria do worse: in a "
                    + "series of 1085 women MRI had a specificity of 67 % and a positive predictive value of 1 % (Lerner 2019).",
            "The intervals cover few cases and the measurement's own spread, not differences between scanners, readers and "
                    + "patients.");

    /**
     * The reader's overall concern.
     *
     * @param entry which impression, from 1
     * @param grade 1 (none) to 5 (grave)
     * @param meaning the lexicon's words for it
     * @param locked when it was locked; none if it was not
     */
    public record Concern(int entry, int grade, String meaning, Optional<String> locked) {}

    /** What a lesion is held against; the same for all lesions of a table. */
    public record Standards(
            List<CriteriaCard> cards, Lexicon lexicon, List<PatternChart.Pattern> patterns, Prevalence prevalence) {
        public Standards {
            cards = List.copyOf(cards);
            patterns = List.copyOf(patterns);
        }

        /** With the lexicon and the patterns that come with the program. */
        public static Standards of(List<CriteriaCard> cards, Lexicon lexicon, Prevalence prevalence) {
            return new Standards(cards, lexicon, PatternChart.patterns(), prevalence);
        }

        private List<CardResult.Weighed> weighed() {
            return cards.stream()
                    .map(card -> CardResult.Weighed.of(card, prevalence))
                    .toList();
        }
    }

    /**
     * Appraises every lesion of a table, in the table's order.
     *
     * @param rows as {@link org.leiogauge.table.LesionTable#readTidy} gives them
     * @param caseFile with the impression of one of the lesions
     * @param file the table, for errors
     * @throws InputException if the table holds no lesion, or not the case file's
     */
    public static List<Appraisal> all(List<LesionRow> rows, Standards standards, Optional<CaseFile> caseFile, Path file)
            throws InputException {
        Map<List<String>, List<LesionRow>> lesions = new LinkedHashMap<>();
        for (LesionRow row : rows)
            lesions.computeIfAbsent(List.of(row.caseName(), row.lesion()), key -> new ArrayList<>())
                    .add(row);
        if (lesions.isEmpty()) throw new InputException(file, "", "no rows", "the features of a lesion");
        if (caseFile.isPresent()
                && !lesions.containsKey(
                        List.of(caseFile.get().caseName(), caseFile.get().lesion())))
            throw new InputException(
                    file,
                    "",
                    "no lesion " + caseFile.get().lesion() + " of case "
                            + caseFile.get().caseName(),
                    "the case file's lesion");
        List<CardResult.Weighed> weighed = standards.weighed();
        List<Appraisal> appraisals = new ArrayList<>();
        for (List<LesionRow> lesion : lesions.values()) {
            LesionRow first = lesion.get(0);
            appraisals.add(of(
                    lesion,
                    standards,
                    weighed,
                    caseFile.filter(c ->
                            c.caseName().equals(first.caseName()) && c.lesion().equals(first.lesion()))));
        }
        return List.copyOf(appraisals);
    }

    /**
     * Appraises one lesion.
     *
     * @param rows of one lesion; at least one
     */
    public static Appraisal of(List<LesionRow> rows, Standards standards, Optional<CaseFile> caseFile) {
        return of(rows, standards, standards.weighed(), caseFile);
    }

    private static Appraisal of(
            List<LesionRow> rows, Standards standards, List<CardResult.Weighed> weighed, Optional<CaseFile> caseFile) {
        LesionValues values = new LesionValues(rows);
        List<SignReading> signs = standards.lexicon.signs().stream()
                .map(sign -> SignReading.of(sign, values))
                .toList();
        List<CardResult> cards = new ArrayList<>();
        for (int i = 0; i < weighed.size(); i++) cards.add(CardResult.of(weighed.get(i), values, new Seed(i)));
        List<Impression> impressions = caseFile.map(CaseFile::impression).orElse(List.of());
        List<SignComparison> comparisons = new ArrayList<>();
        List<Concern> concern = new ArrayList<>();
        List<String> notes = new ArrayList<>();
        for (int i = 0; i < impressions.size(); i++) {
            int entry = i + 1;
            Impression impression = impressions.get(i);
            for (SignReading sign : signs)
                impression
                        .term(sign.sign().key())
                        .ifPresent(term -> comparisons.add(SignComparison.of(entry, term, sign)));
            impression
                    .concern()
                    .ifPresent(grade -> concern.add(new Concern(
                            entry, grade, standards.lexicon.concern().get(grade - 1), impression.locked())));
            if (impression.locked().isEmpty())
                notes.add(
                        "The impression is not locked: whether it was formed before any number was seen is not known.");
        }
        if (rows.stream().noneMatch(row -> row.interval().isPresent()))
            notes.add("The table has no measurement intervals: nearness to a cut-off cannot be told.");
        return new Appraisal(
                rows.get(0).caseName(),
                rows.get(0).lesion(),
                standards.prevalence,
                List.copyOf(cards),
                PatternChart.of(standards.patterns, signs),
                signs,
                List.copyOf(comparisons),
                List.copyOf(concern),
                List.copyOf(notes));
    }
}
