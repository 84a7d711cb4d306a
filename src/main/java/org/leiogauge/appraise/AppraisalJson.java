// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import com.fasterxml.jackson.core.JsonProcessingException;
import com.fasterxml.jackson.databind.ObjectMapper;
import com.fasterxml.jackson.databind.SerializationFeature;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.appraise.CardResult.Worth;
import org.leiogauge.appraise.Criterion.Check;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;

/** Appraisals as JSON; what is not measured is null with the reason beside it. */
public final class AppraisalJson {
    private AppraisalJson() {}

    public static String of(List<Appraisal> appraisals) {
        Map<String, Object> whole =
                map("lesions", appraisals.stream().map(AppraisalJson::lesion).toList(), "cautions", Appraisal.CAUTIONS);
        try {
            return new ObjectMapper().enable(SerializationFeature.INDENT_OUTPUT).writeValueAsString(whole) + "\n";
        } catch (JsonProcessingException e) {
            throw new IllegalStateException(e);
        }
    }

    private static Map<String, Object> lesion(Appraisal appraisal) {
        Prevalence prevalence = appraisal.prevalence();
        return map(
                "case",
                appraisal.caseName(),
                "lesion",
                appraisal.lesion(),
                "prevalence",
                map(
                        "value", prevalence.value(),
                        "preset", prevalence.id(),
                        "disease", prevalence.disease(),
                        "source", prevalence.source()),
                "signs",
                appraisal.signs().stream().map(AppraisalJson::sign).toList(),
                "comparisons",
                appraisal.comparisons().stream().map(AppraisalJson::comparison).toList(),
                "concern",
                appraisal.concern().stream()
                        .map(c -> map(
                                "impression",
                                c.entry(),
                                "grade",
                                c.grade(),
                                "meaning",
                                c.meaning(),
                                "locked",
                                c.locked().orElse(null)))
                        .toList(),
                "cards",
                appraisal.cards().stream().map(AppraisalJson::card).toList(),
                "patterns",
                appraisal.chart().rows().stream().map(AppraisalJson::pattern).toList(),
                "notes",
                appraisal.notes());
    }

    private static Map<String, Object> sign(SignReading reading) {
        return map(
                "sign",
                reading.sign().key(),
                "terms",
                reading.terms(),
                "near-cut-off",
                reading.nearCutOff(),
                "measured",
                reading.measured().stream()
                        .map(m -> map(
                                "feature",
                                m.counterpart().feature(),
                                "aggregation",
                                m.counterpart().aggregation().orElse(""),
                                "value",
                                value(m.value()),
                                "unit",
                                m.counterpart().key().unit(),
                                "interval",
                                interval(m.interval()),
                                "reason",
                                m.value().reason(),
                                "cut-offs",
                                m.counterpart().cutOffs(),
                                "source",
                                m.counterpart().source()))
                        .toList());
    }

    private static Map<String, Object> comparison(SignComparison one) {
        return map(
                "impression", one.entry(),
                "sign", one.sign().key(),
                "reader", one.term(),
                "measured", one.reading().terms(),
                "agreement", one.agreement().toString(),
                "near-cut-off", one.reading().nearCutOff());
    }

    private static Map<String, Object> card(CardResult result) {
        CriteriaCard card = result.card();
        return map(
                "id",
                card.id(),
                "name",
                card.name(),
                "source",
                card.source(),
                "mark",
                card.mark().toString(),
                "population",
                card.population(),
                "target",
                card.target(),
                "outcome",
                result.finding().outcome().toString(),
                "met-in-draws",
                result.draws().map(CardResult.Draws::met).orElse(null),
                "near-cut-off",
                result.draws().map(CardResult.Draws::nearCutOff).orElse(false),
                "path",
                result.finding().path().stream().map(AppraisalJson::check).toList(),
                "stand-ins",
                card.standIns(),
                "leaves-out",
                card.leavesOut(),
                "counts",
                result.worth().stream().map(AppraisalJson::worth).toList(),
                "cautions",
                result.cautions());
    }

    private static Map<String, Object> check(Check check) {
        return map(
                "sign",
                check.sign(),
                "feature",
                check.comparison().map(c -> c.key().label()).orElse(null),
                "value",
                value(check.value()),
                "is",
                check.comparison().map(c -> c.is().toString()).orElse(null),
                "cut-off",
                check.comparison().map(Criterion.Comparison::cutOff).orElse(null),
                "unit",
                check.comparison().map(c -> c.key().unit()).orElse(null),
                "outcome",
                check.outcome().toString(),
                "reason",
                check.value().reason());
    }

    private static Map<String, Object> worth(Worth worth) {
        Counts counts = worth.counts().counts();
        return map(
                "of",
                worth.counts().of(),
                "mark",
                worth.counts().mark().toString(),
                "true-positive",
                counts.truePositive(),
                "false-negative",
                counts.falseNegative(),
                "false-positive",
                counts.falsePositive(),
                "true-negative",
                counts.trueNegative(),
                "sensitivity",
                share(counts.sensitivity()),
                "specificity",
                share(counts.specificity()),
                "positive-likelihood-ratio",
                estimate(counts.positiveLikelihoodRatio()),
                "negative-likelihood-ratio",
                estimate(counts.negativeLikelihoodRatio()),
                "if-met",
                after(Optional.of(worth.ifMet())),
                "if-not-met",
                after(Optional.of(worth.ifNotMet())),
                "here",
                after(worth.here()),
                "from-counts-alone",
                value(worth.fromCounts()),
                "sentence",
                worth.sentence());
    }

    private static Map<String, Object> pattern(PatternChart.Row row) {
        return map(
                "pattern",
                row.pattern().key(),
                "name",
                row.pattern().name(),
                "source",
                row.pattern().source(),
                "signs",
                row.cells().stream()
                        .map(cell -> map(
                                "sign", cell.expected().sign(),
                                "expected", cell.expected().terms(),
                                "measured", cell.reading().terms(),
                                "support", cell.support().toString()))
                        .toList());
    }

    private static Map<String, Object> share(Proportion share) {
        return map("value", share.value(), "interval", interval(Optional.of(share.wilson())));
    }

    private static Map<String, Object> estimate(Estimate estimate) {
        return map(
                "value", value(estimate.value()),
                "interval", interval(estimate.interval()),
                "reason", estimate.value().reason());
    }

    private static Object after(Optional<PostTest> after) {
        return after.map(p -> map("median", p.median(), "interval", interval(Optional.of(p.interval()))))
                .orElse(null);
    }

    private static Object value(Measurement measurement) {
        return measurement.number().isPresent() ? measurement.number().getAsDouble() : null;
    }

    private static Object interval(Optional<Interval> interval) {
        return interval.map(i -> List.of(i.low(), i.high())).orElse(null);
    }

    private static Map<String, Object> map(Object... keysAndValues) {
        Map<String, Object> map = new LinkedHashMap<>();
        for (int i = 0; i < keysAndValues.length; i += 2) map.put((String) keysAndValues[i], keysAndValues[i + 1]);
        return map;
    }
}
