// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.tuple;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeMap;
import org.junit.jupiter.api.Test;
import org.leiogauge.appraise.Appraisal.Standards;
import org.leiogauge.appraise.CardResult.Draws;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.SignComparison.Agreement;
import org.leiogauge.study.CaseFile;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Interval;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

class AppraisalTest {
    private static final Standards STANDARDS =
            Standards.of(CriteriaCards.shipped(CriteriaCardsTest.KNOWN), LexiconTest.LEXICON, Prevalence.standard());

    /** Value, low and high by feature, and by feature/tissue for the DWI ratio. */
    private static List<LesionRow> rows(Map<String, double[]> values) {
        List<LesionRow> rows = new ArrayList<>();
        values.forEach((name, v) -> {
            String[] parts = name.split("/");
            String unit = CriteriaCardsTest.KNOWN.stream()
                    .filter(d -> d.feature().equals(parts[0]) && d.group().equals("lesion"))
                    .findFirst()
                    .orElseThrow()
                    .unit();
            rows.add(new LesionRow(
                    "a",
                    "L1",
                    "lesion",
                    "",
                    new FeatureValue(
                            new Definition("lesion", parts[0], "", unit, "", ""),
                            new Aggregation(parts.length > 1 ? parts[1] : "", ""),
                            v.length == 0 ? new NotMeasured("no series") : new Measured(v[0])),
                    v.length == 3 ? Optional.of(new Interval(v[1], v[2])) : Optional.empty(),
                    ""));
        });
        return rows;
    }

    private static Map<String, double[]> suspicious() {
        return new TreeMap<>(Map.of(
                "t2 signal ratio to myometrium", new double[] {1.36, 1.2, 1.5},
                "dwi signal ratio to reference/endometrium", new double[] {1.25, 1.1, 1.4},
                "dwi signal ratio to reference/muscle", new double[] {4.9, 4, 5.5},
                "adc p50", new double[] {0.88, 0.82, 0.97}));
    }

    private static CardResult card(List<LesionRow> rows, String id) {
        return Appraisal.of(rows, STANDARDS, Optional.empty()).cards().stream()
                .filter(result -> result.card().id().equals(id))
                .findFirst()
                .orElseThrow();
    }

    // Oracle: SciPy 1.10.1, norm.cdf((0.905 - 0.88) * 1.959964 / (0.97 - 0.88)) = 0.7069, times norm.cdf(3.267) =
    // 0.99946
    // for DWI and 1 for T2; three standard errors of 2000 draws are 0.031.
    @Test
    void theShareOfDrawsThatMeetACriterionMatchesTheNormalDistribution() {
        CardResult result = card(rows(suspicious()), "consensus-flow-2022");
        assertThat(result.finding().outcome()).isEqualTo(Outcome.MET);
        Draws draws = result.draws().orElseThrow();
        assertThat(draws.met()).isCloseTo(0.7069 * 0.99946, within(0.031));
        assertThat(draws.nearCutOff()).isTrue();
        assertThat(draws.told()).isEqualTo(2000);
        // Oracle: the mixture of both results holds what either alone holds less of.
        PostTest here = result.worth().get(0).here().orElseThrow();
        assertThat(here.interval().low())
                .isLessThan(result.worth().get(0).ifMet().interval().low());
        assertThat(card(rows(suspicious()), "consensus-flow-2022")).isEqualTo(result);
    }

    @Test
    void aValueFarFromItsCutOffIsNotNear() {
        Map<String, double[]> far = suspicious();
        far.put("adc p50", new double[] {0.70, 0.68, 0.72});
        CardResult result = card(rows(far), "consensus-flow-2022");
        assertThat(result.draws().orElseThrow().nearCutOff()).isFalse();
        assertThat(AppraisalText.outcome(result)).startsWith("met (met in ").doesNotContain("near");
        far.put("adc p50", new double[] {0.70});
        far.put("t2 signal ratio to myometrium", new double[] {1.36});
        far.put("dwi signal ratio to reference/endometrium", new double[] {1.25});
        assertThat(card(rows(far), "consensus-flow-2022").draws()).isEmpty();
    }

    // Oracle: the tree, by hand.
    @Test
    void whatIsMissingOrInAnotherUnitIsNotMeasured() {
        Map<String, double[]> missing = suspicious();
        missing.put("adc p50", new double[] {});
        CardResult open = card(rows(missing), "consensus-flow-2022");
        assertThat(open.finding().outcome()).isEqualTo(Outcome.NOT_MEASURED);
        assertThat(open.draws()).isEmpty();
        assertThat(open.worth()).allSatisfy(w -> assertThat(w.here()).isEmpty());
        missing.put("t2 signal ratio to myometrium", new double[] {0.5});
        assertThat(card(rows(missing), "consensus-flow-2022").finding().outcome())
                .isEqualTo(Outcome.NOT_MET);

        List<LesionRow> rows = rows(suspicious());
        rows.replaceAll(row -> {
            Definition d = row.value().definition();
            Definition other = new Definition(d.group(), d.feature(), d.code(), "mm2/s", "", "");
            FeatureValue value = new FeatureValue(
                    other, row.value().aggregation(), row.value().measurement());
            return d.feature().equals("adc p50")
                    ? new LesionRow("a", "L1", "lesion", "adc", value, row.interval(), "")
                    : row;
        });
        assertThat(card(rows, "adc-839-cellular")
                        .finding()
                        .path()
                        .get(0)
                        .value()
                        .reason())
                .isEqualTo("the table has it in mm2/s, not in 10-3.mm2/s");
    }

    // Oracle: the lexicon's cut-offs, by hand.
    @Test
    void eachSignOfEachImpressionStandsBesideItsMeasurement() throws InputException {
        CaseFile caseFile = Yaml.PLAIN.parse("""
                case: a
                lesion: L1
                impression:
                  - {border: well-defined, t2-signal: intermediate, diffusion: low, concern: 2, locked: 2026-03-02T10:20:00}
                  - {diffusion: restricted, concern: 4, locked: 2026-03-02T10:40:00}
                """, "case.yaml", CaseFile.class);
        Appraisal appraisal = Appraisal.of(rows(suspicious()), STANDARDS, Optional.of(caseFile));
        assertThat(appraisal.comparisons())
                .extracting(SignComparison::entry, c -> c.sign().key(), SignComparison::agreement, c -> c.reading()
                        .nearCutOff())
                .containsExactly(
                        tuple(1, "border", Agreement.NOT_MEASURED, false),
                        tuple(1, "t2-signal", Agreement.AGREES, true),
                        tuple(1, "diffusion", Agreement.DIFFERS, false),
                        tuple(2, "diffusion", Agreement.AGREES, false));
        assertThat(appraisal.concern()).extracting(Appraisal.Concern::grade).containsExactly(2, 4);
    }

    // Oracle: signal equations on the tissue values of evidence section 8.1, mean over the mass, worked out by hand: T2
    // at
    // TR 4000 TE 100, DWI at b 1000 TE 75. What is brought in as a sign is what the textbook says of the pattern.
    @Test
    void theTextbookCaseHasItsOwnPatternAmongTheBestSupported() {
        supported("ordinary", 0.34, 0.10, 0, 0, 0.7, 0, 0.42, 1.05, 2, 0.4, 0);
        supported("hyaline", 0.23, 0.40, 0, 0, 0.3, 0.3, 0.33, 0.95, 2, 0.4, 0);
        supported("cystic", 1.20, 0.88, 0, 0, 0.42, 0.4, 0.43, 1.2, 2, 0.4, 0);
        supported("myxoid", 1.58, 0.50, 0, 0, 0.2, 0.1, 0.57, 2.0, 2, 0.4, 0);
        supported("red", 0.63, 0.20, 0.3, 0.6, 0.0, 1.0, 0.71, 1.04, 2, 0.4, 0);
        supported("cellular", 0.89, 0.08, 0, 0, 1.5, 0, 1.00, 0.95, 2, 0.4, 0);
        supported("sarcoma", 1.36, 0.28, 0.1, 0, 1.3, 0.28, 1.28, 0.84, 8, 1.8, 4);
    }

    private static void supported(String pattern, double... v) {
        List<LesionRow> rows = rows(Map.ofEntries(
                Map.entry("t2 signal ratio to myometrium", new double[] {v[0]}),
                Map.entry("t2 coefficient of variation", new double[] {v[1]}),
                Map.entry("t1 bright fraction", new double[] {v[2]}),
                Map.entry("t1 bright rim index", new double[] {v[3]}),
                Map.entry("early enhancement ratio", new double[] {v[4]}),
                Map.entry("non-enhancing fraction", new double[] {v[5]}),
                Map.entry("dwi signal ratio to reference/endometrium", new double[] {v[6]}),
                Map.entry("adc p50", new double[] {v[7]}),
                Map.entry("margin sharpness", new double[] {v[8]}),
                Map.entry("margin roughness", new double[] {v[9]}),
                Map.entry("lobulation count", new double[] {v[10]})));
        PatternChart chart = Appraisal.of(rows, STANDARDS, Optional.empty()).chart();
        int best = chart.rows().stream().mapToInt(AppraisalTest::support).max().orElseThrow();
        assertThat(chart.rows().stream().filter(row -> support(row) == best).map(row -> row.pattern()
                        .key()))
                .contains(pattern);
    }

    private static int support(PatternChart.Row row) {
        return row.with(Support.FOR).size() - row.with(Support.AGAINST).size();
    }

    @Test
    void valuesThatRuleEachOtherOutSayNothing() {
        List<LesionRow> rows =
                rows(Map.of("t1 bright fraction", new double[] {0.0}, "t1 bright rim index", new double[] {0.9}));
        SignReading reading =
                Appraisal.of(rows, STANDARDS, Optional.empty()).signs().get(3);
        assertThat(reading.isMeasured()).isFalse();
    }

    @Test
    void aPatternWithATermThatTheLexiconLacksIsRefused() {
        PatternChart.Pattern pattern = new PatternChart.Pattern(
                "own", "Own", "none", List.of(new PatternChart.Expected("border", List.of("fuzzy"))));
        Standards own = new Standards(List.of(), LexiconTest.LEXICON, List.of(pattern), Prevalence.standard());
        assertThatThrownBy(() -> Appraisal.of(rows(suspicious()), own, Optional.empty()))
                .hasMessageContaining("fuzzy");
    }
}
