// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.List;
import java.util.stream.Collectors;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.CardResult;
import org.leiogauge.appraise.CardResult.Worth;
import org.leiogauge.appraise.Counts;
import org.leiogauge.appraise.Mark;
import org.leiogauge.appraise.PatternChart;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.Prevalence;
import org.leiogauge.appraise.SignComparison;
import org.leiogauge.appraise.SignReading;

/** An appraisal in the words that the page shows. */
public record AppraisalPage(
        String prevalence, List<Beside> beside, List<String> concern, List<Card> cards, List<Pattern> patterns) {

    static AppraisalPage of(Appraisal appraisal) {
        Prevalence prevalence = appraisal.prevalence();
        return new AppraisalPage(
                "Prevalence before the images"
                        + (prevalence.disease().isEmpty() ? "" : ", of " + prevalence.disease()) + ": "
                        + prevalence.text() + " (" + Shown.text(prevalence.name()) + "; source: "
                        + Shown.text(prevalence.source()) + ").",
                appraisal.signs().stream()
                        .flatMap(sign -> Beside.of(appraisal, sign).stream())
                        .toList(),
                appraisal.concern().stream()
                        .map(c -> "Overall concern"
                                + (c.entry() == 1 ? "" : ", impression " + c.entry())
                                + ": " + c.grade() + " of 5 (" + Shown.text(c.meaning()) + ")"
                                + c.locked()
                                        .map(at -> ", locked " + Shown.name(at))
                                        .orElse(""))
                        .toList(),
                appraisal.cards().stream().map(Card::of).toList(),
                appraisal.chart().rows().stream().map(Pattern::of).toList());
    }

    // Codes of units as the eye knows them.
    private static String shown(String text) {
        return Shown.text(text)
                .replace("10-3.mm2/s", HtmlReport.symbol("10-3.mm2/s"))
                .replace("mm3", "mm³");
    }

    /** A sign as the reader called it, beside what was measured. */
    public record Beside(
            String sign, String entry, String reader, String measured, String agreement, List<String> values) {

        static List<Beside> of(Appraisal appraisal, SignReading sign) {
            List<SignComparison> comparisons = appraisal.comparisons().stream()
                    .filter(c -> c.sign().key().equals(sign.sign().key()))
                    .toList();
            if (comparisons.isEmpty()) return List.of(of(sign, "", "not given", "–"));
            return comparisons.stream()
                    .map(c -> of(
                            sign,
                            c.entry() == 1 ? "" : "impression " + c.entry(),
                            c.term(),
                            c.agreement().toString()))
                    .toList();
        }

        private static Beside of(SignReading sign, String entry, String term, String agreement) {
            return new Beside(
                    sign.sign().name(),
                    entry,
                    Shown.name(term),
                    AppraisalText.terms(sign) + (sign.nearCutOff() ? " (near a cut-off)" : ""),
                    agreement,
                    sign.measured().stream().map(m -> shown(m.text())).toList());
        }
    }

    /** A criteria card with how it came out. */
    public record Card(
            String name,
            String outcome,
            String source,
            String population,
            List<String> path,
            List<String> standIns,
            List<String> leavesOut,
            List<Value> worth,
            List<String> cautions) {

        static Card of(CardResult result) {
            return new Card(
                    Shown.label(result.card().name()),
                    AppraisalText.outcome(result),
                    Shown.text(result.card().source())
                            + (result.card().mark() == Mark.COMMON_PRACTICE
                                    ? ""
                                    : " (" + result.card().mark() + ")"),
                    Shown.text(result.card().population()),
                    result.finding().path().stream()
                            .map(check -> shown(AppraisalText.check(check)))
                            .toList(),
                    all(result.card().standIns()),
                    all(result.card().leavesOut()),
                    result.worth().stream().map(Value::of).toList(),
                    all(result.cautions()));
        }

        private static List<String> all(List<String> texts) {
            return texts.stream().map(Shown::text).toList();
        }

        /** Sensitivity over all sets of counts, for the list of all cards. */
        public String sensitivities() {
            return worth.stream().map(Value::sensitivity).collect(Collectors.joining("; "));
        }

        public String specificities() {
            return worth.stream().map(Value::specificity).collect(Collectors.joining("; "));
        }

        public String probabilities() {
            return worth.stream()
                    .map(Value::here)
                    .filter(text -> !text.isEmpty())
                    .collect(Collectors.joining("; "));
        }
    }

    /** What a criterion is worth by one set of counts. */
    public record Value(
            String counts,
            String sensitivity,
            String specificity,
            String ratioIfMet,
            String ratioIfNot,
            String ifMet,
            String ifNotMet,
            String here,
            String sentence) {

        static Value of(Worth worth) {
            Counts counts = worth.counts().counts();
            return new Value(
                    Shown.label(worth.counts().of()) + " (" + worth.counts().mark() + "): " + counts.truePositive()
                            + " of " + counts.diseased() + " with and " + counts.falsePositive() + " of "
                            + counts.healthy() + " without the disease meet it",
                    AppraisalText.share(counts.sensitivity()),
                    AppraisalText.share(counts.specificity()),
                    AppraisalText.ratio(counts.positiveLikelihoodRatio()),
                    AppraisalText.ratio(counts.negativeLikelihoodRatio()),
                    AppraisalText.probability(worth.ifMet()),
                    AppraisalText.probability(worth.ifNotMet()),
                    worth.here().map(AppraisalText::probability).orElse(""),
                    Shown.text(worth.sentence()));
        }
    }

    /** What speaks for and against a textbook pattern. */
    public record Pattern(String name, String source, String speaksFor, String against, String open) {
        static Pattern of(PatternChart.Row row) {
            return new Pattern(
                    row.pattern().name(),
                    row.pattern().source(),
                    cells(row, Support.FOR),
                    cells(row, Support.AGAINST),
                    cells(row, Support.NOT_MEASURED));
        }

        private static String cells(PatternChart.Row row, Support support) {
            String all = row.with(support).stream()
                    .map(cell -> cell.reading().sign().name()
                            + (support == Support.AGAINST
                                    ? " (expected "
                                            + String.join(
                                                    " or ", cell.expected().terms()) + ")"
                                    : ""))
                    .collect(Collectors.joining(", "));
            return all.isEmpty() ? "–" : all;
        }
    }
}
