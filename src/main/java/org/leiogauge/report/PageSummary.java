// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.ArrayList;
import java.util.List;
import java.util.stream.Collectors;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.CardResult;
import org.leiogauge.appraise.PatternChart;
import org.leiogauge.appraise.PatternChart.Cell;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.SignReading;
import org.leiogauge.table.LesionRow;

/**
 * What stands on top of the report, in neutral words: none of it judges the lesion.
 *
 * @param measured how much was measured, and on what
 * @param standsOut signs that differ from the textbook's ordinary leiomyoma
 * @param asOrdinary signs that do not
 * @param missing reasons why values are missing, with their number
 * @param cautions what wants care
 */
public record PageSummary(
        List<String> measured, List<String> standsOut, String asOrdinary, List<String> missing, List<String> cautions) {
    private static final String ORDINARY = "ordinary";

    static PageSummary of(ReportContent content, List<LesionRow> signs) {
        List<Cell> ordinary = content.appraisal().chart().rows().stream()
                .filter(row -> row.pattern().key().equals(ORDINARY))
                .map(PatternChart.Row::cells)
                .findFirst()
                .orElse(List.of());
        return new PageSummary(
                measured(content, signs),
                ordinary.stream()
                        .filter(cell -> cell.support() == Support.AGAINST)
                        .map(PageSummary::difference)
                        .toList(),
                ordinary.stream()
                        .filter(cell -> cell.support() == Support.FOR)
                        .map(cell -> cell.reading().sign().name() + " (" + AppraisalText.terms(cell.reading()) + ")")
                        .collect(Collectors.joining(", ")),
                missing(content, signs),
                cautions(content, signs));
    }

    private static List<String> measured(ReportContent content, List<LesionRow> signs) {
        long done = signs.stream().filter(ReportPage::isMeasured).count();
        List<CardResult> cards = content.appraisal().cards();
        long told = cards.stream().filter(PageSummary::isTold).count();
        long all = content.rows().stream().filter(ReportPage::isMeasured).count();
        return List.of(
                done + " of " + signs.size() + " lesion values, and " + (all - done)
                        + " standard features (in the tables).",
                told + " of " + cards.size() + " published or customary criteria could be told; each stands below with "
                        + "what it is worth.");
    }

    private static boolean isTold(CardResult card) {
        return !card.finding().outcome().toString().equals("not measured");
    }

    private static String difference(Cell cell) {
        SignReading reading = cell.reading();
        String values = reading.measured().stream()
                .filter(m -> m.value().number().isPresent())
                .map(m -> m.counterpart().feature() + " "
                        + HtmlReport.digits(m.value().number().getAsDouble())
                        + m.counterpart()
                                .unit()
                                .map(unit -> " " + HtmlReport.symbol(unit))
                                .orElse("")
                        + m.interval()
                                .map(i ->
                                        " (" + HtmlReport.digits(i.low()) + " to " + HtmlReport.digits(i.high()) + ")")
                                .orElse(""))
                .collect(Collectors.joining(", "));
        return reading.sign().name() + ": " + AppraisalText.terms(reading) + "; textbook: "
                + String.join(" or ", cell.expected().terms()) + ". " + ReportPage.capital(values) + "."
                + (reading.nearCutOff() ? " Near a cut-off." : "");
    }

    private static List<String> missing(ReportContent content, List<LesionRow> signs) {
        List<String> missing = new ArrayList<>();
        content.appraisal().signs().stream()
                .filter(sign -> !sign.isMeasured())
                .forEach(sign -> missing.add("Sign not told: " + sign.sign().name() + "."));
        ReportPage.missing(signs).forEach(m -> missing.add(ReportPage.capital(m.reason()) + ": " + m.features() + "."));
        return missing;
    }

    private static List<String> cautions(ReportContent content, List<LesionRow> signs) {
        List<String> cautions = new ArrayList<>();
        List<String> care = signs.stream()
                .filter(row -> row.status() == LesionRow.Status.CAUTION)
                .map(row -> row.value().definition().feature())
                .distinct()
                .toList();
        if (!care.isEmpty()) cautions.add("Values that want care: " + String.join(", ", care) + ".");
        List<String> near = content.appraisal().signs().stream()
                .filter(SignReading::nearCutOff)
                .map(sign -> sign.sign().name())
                .toList();
        if (!near.isEmpty())
            cautions.add("Near a cut-off between terms, so that a repeat may give another term: "
                    + String.join(", ", near) + ".");
        long close = content.appraisal().cards().stream()
                .filter(card -> card.draws().map(CardResult.Draws::nearCutOff).orElse(false))
                .count();
        if (close > 0)
            cautions.add(
                    close == 1
                            ? "1 criterion comes out near its cut-off."
                            : close + " criteria come out near their cut-off.");
        if (!content.protocol().isEmpty())
            cautions.add("The protocol check found " + content.protocol().size() + " shortfall"
                    + (content.protocol().size() == 1 ? "" : "s") + ", listed below.");
        content.appraisal().notes().forEach(note -> cautions.add(Shown.text(note)));
        return cautions;
    }
}
