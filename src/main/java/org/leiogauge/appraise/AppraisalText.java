// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.List;
import java.util.Optional;
import java.util.stream.Collectors;
import org.leiogauge.appraise.CardResult.Worth;
import org.leiogauge.appraise.Criterion.Check;
import org.leiogauge.appraise.PatternChart.Cell;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.OneLine;

/** Appraisals as plain text for reading. Text from files shows no control characters. */
public final class AppraisalText {
    private final StringBuilder text = new StringBuilder();

    private AppraisalText() {}

    /** All of them, one after the other, and the cautions that hold for all. */
    public static String of(List<Appraisal> appraisals) {
        AppraisalText text = new AppraisalText();
        appraisals.forEach(text::add);
        text.heading("Read this with");
        Appraisal.CAUTIONS.forEach(caution -> text.line(1, caution));
        return text.text.toString();
    }

    /** How a check is said: sign, value, cut-off, and how it came out. */
    public static String check(Check check) {
        String cutOff = check.comparison()
                .map(c -> c.key().label() + " " + c.is() + " " + Figures.digits(c.cutOff())
                        + (c.key().unit().equals("1") ? "" : " " + c.key().unit()))
                .orElse("no feature");
        if (check.outcome() == Outcome.NOT_MEASURED)
            return check.sign() + " (" + cutOff + ") - not measured: "
                    + check.value().reason();
        return check.sign() + " (" + cutOff + ") - "
                + Figures.digits(check.value().number().orElseThrow())
                + (check.outcome() == Outcome.MET ? ", yes" : ", no");
    }

    /** How a card came out, with the share of draws where that is not plain. */
    public static String outcome(CardResult result) {
        return result.finding().outcome()
                + result.draws().map(AppraisalText::draws).orElse("");
    }

    private static String draws(CardResult.Draws draws) {
        String of = draws.told() == draws.number()
                ? draws.number() + " draws"
                : "the " + draws.told() + " of " + draws.number() + " draws that could be told";
        String met = draws.met() == 1 ? "met in all " + of : "met in " + Figures.percent(draws.met()) + " of " + of;
        return (draws.nearCutOff() ? ", near its cut-off" : "") + " (" + met + ")";
    }

    private void add(Appraisal appraisal) {
        line(0, "Case " + appraisal.caseName() + ", lesion " + appraisal.lesion());
        Prevalence prevalence = appraisal.prevalence();
        line(
                0,
                "Prevalence" + (prevalence.disease().isEmpty() ? "" : " of " + prevalence.disease()) + ": "
                        + prevalence.text() + " (" + prevalence.name()
                        + "; " + prevalence.source() + ")");
        appraisal.notes().forEach(note -> line(0, note));
        if (!appraisal.comparisons().isEmpty() || !appraisal.concern().isEmpty()) addReader(appraisal);
        heading("Measured signs");
        appraisal.signs().forEach(this::addSign);
        heading("Criteria (probabilities: median and 95 % interval of what few counts and the measurement leave open)");
        appraisal.cards().forEach(this::addCard);
        heading("Pattern chart (what speaks for and against each; none is declared)");
        appraisal.chart().rows().forEach(this::addPattern);
        text.append('\n');
    }

    private void addReader(Appraisal appraisal) {
        heading("The reader beside the measurement");
        for (SignComparison one : appraisal.comparisons())
            line(
                    1,
                    entry(one.entry()) + one.sign().name() + ": reader " + one.term() + ", measured "
                            + terms(one.reading()) + " - " + one.agreement()
                            + (one.reading().nearCutOff() ? ", near a cut-off" : ""));
        for (Appraisal.Concern concern : appraisal.concern())
            line(
                    1,
                    entry(concern.entry()) + "Overall concern: " + concern.grade() + " of 5" + " (" + concern.meaning()
                            + ")" + concern.locked().map(at -> ", locked " + at).orElse(""));
    }

    private static String entry(int entry) {
        return entry == 1 ? "" : "(impression " + entry + ") ";
    }

    private void addSign(SignReading sign) {
        line(1, sign.sign().name() + ": " + terms(sign) + (sign.nearCutOff() ? " (near a cut-off)" : ""));
        sign.measured().forEach(measured -> line(2, measured.text()));
    }

    /** The terms that the measured values go with. */
    public static String terms(SignReading reading) {
        return reading.isMeasured() ? String.join(" or ", reading.terms()) : "not measured";
    }

    private void addCard(CardResult result) {
        CriteriaCard card = result.card();
        line(1, card.name() + ": " + outcome(result));
        line(
                2,
                "Source: " + card.source() + (card.mark() == Mark.COMMON_PRACTICE ? "" : " (" + card.mark() + ")")
                        + ". In: " + card.population());
        result.finding().path().forEach(check -> line(2, "> " + check(check)));
        card.standIns().forEach(standIn -> line(2, "Stands in: " + standIn));
        card.leavesOut().forEach(left -> line(2, "Left out: " + left));
        if (card.counts().isEmpty()) line(2, "No counts are known: the criterion stands alone.");
        result.worth().forEach(this::addWorth);
        result.cautions().forEach(caution -> line(2, "Caution: " + caution));
        text.append('\n');
    }

    private void addWorth(Worth worth) {
        Counts counts = worth.counts().counts();
        line(
                2,
                "Counts, " + worth.counts().of() + " (" + worth.counts().mark() + "): " + counts.truePositive() + " of "
                        + counts.diseased() + " with and " + counts.falsePositive() + " of " + counts.healthy()
                        + " without the disease meet it");
        line(
                3,
                "sensitivity " + share(counts.sensitivity()) + ", specificity " + share(counts.specificity())
                        + ", LR+ " + ratio(counts.positiveLikelihoodRatio()) + ", LR- "
                        + ratio(counts.negativeLikelihoodRatio()));
        line(
                3,
                "after it is met " + probability(worth.ifMet()) + ", after it is not met "
                        + probability(worth.ifNotMet()));
        worth.here().ifPresent(here -> line(3, "here: " + probability(here) + plain(worth)));
        if (!worth.sentence().isEmpty()) line(3, worth.sentence());
    }

    private static String plain(Worth worth) {
        return worth.fromCounts().number().isPresent()
                ? "; from the counts alone "
                        + Figures.percent(worth.fromCounts().number().getAsDouble())
                : "; the counts alone give none: " + worth.fromCounts().reason();
    }

    /** A share with its Wilson interval, in percent. */
    public static String share(Proportion share) {
        return Figures.percent(share.value()) + " (" + Figures.percent(share.wilson()) + ")";
    }

    /** A probability with its interval, in percent. */
    public static String probability(PostTest after) {
        return Figures.percent(after.median()) + " (" + Figures.percent(after.interval()) + ")";
    }

    /** A likelihood ratio with its interval, or why there is none. */
    public static String ratio(Estimate estimate) {
        if (estimate.value().number().isEmpty())
            return "none (" + estimate.value().reason() + ")";
        Optional<String> interval =
                estimate.interval().map(i -> " (" + Figures.digits(i.low()) + " to " + Figures.digits(i.high()) + ")");
        return Figures.digits(estimate.value().number().getAsDouble()) + interval.orElse(" (no interval)");
    }

    private void addPattern(PatternChart.Row row) {
        line(1, row.pattern().name());
        for (Support support : Support.values()) {
            List<Cell> cells = row.with(support);
            if (!cells.isEmpty()) line(2, support + ": " + names(cells, support));
        }
    }

    private static String names(List<Cell> cells, Support support) {
        return cells.stream()
                .map(cell -> cell.reading().sign().name()
                        + (support == Support.AGAINST
                                ? " (" + terms(cell.reading()) + ", expected "
                                        + String.join(" or ", cell.expected().terms()) + ")"
                                : ""))
                .collect(Collectors.joining(", "));
    }

    private void heading(String heading) {
        text.append('\n').append(OneLine.of(heading)).append('\n');
    }

    private void line(int indent, String line) {
        text.append("  ".repeat(indent)).append(OneLine.of(line)).append('\n');
    }
}
