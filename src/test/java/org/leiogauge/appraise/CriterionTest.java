// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.leiogauge.appraise.Criterion.AtLeast;
import org.leiogauge.appraise.Criterion.Check;
import org.leiogauge.appraise.Criterion.Comparison;
import org.leiogauge.appraise.Criterion.Finding;
import org.leiogauge.appraise.Criterion.Is;
import org.leiogauge.appraise.Criterion.Not;
import org.leiogauge.appraise.Criterion.Step;
import org.leiogauge.appraise.Criterion.Steps;
import org.leiogauge.appraise.Criterion.Unmeasured;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;

class CriterionTest {
    private static final Criterion A = above("a");
    private static final Criterion B = above("b");
    private static final Criterion C = above("c");

    private static Comparison above(String feature) {
        return new Comparison(feature, key(feature), Is.ABOVE, 0);
    }

    private static FeatureKey key(String feature) {
        return new FeatureKey("lesion", feature, "lesion", Optional.empty(), Optional.empty(), "1");
    }

    // '+' met, '-' not met, '?' not measured, for a, b, c.
    private static Finding finding(Criterion criterion, String signs) {
        Map<FeatureKey, Measurement> values = new HashMap<>();
        for (int i = 0; i < 3; i++)
            values.put(
                    key("abc".substring(i, i + 1)),
                    switch (signs.charAt(i)) {
                        case '+' -> new Measured(1);
                        case '-' -> new Measured(-1);
                        default -> new NotMeasured("not there");
                    });
        return criterion.finding(values::get);
    }

    // Oracle: brute force. A criterion is told exactly if every way of filling in what is missing comes to the same.
    @Test
    void whatIsMissingLeavesTheOutcomeOpenOnlyIfItCouldChangeIt() {
        List<Criterion> criteria = List.of(
                new AtLeast(3, List.of(A, B, C)),
                new AtLeast(2, List.of(A, B, C)),
                new AtLeast(1, List.of(A, B, C)),
                new Not(new AtLeast(2, List.of(A, new Not(B), C))),
                new Steps(List.of(new Step(A, Outcome.NOT_MET), new Step(B, Outcome.MET)), Outcome.NOT_MET),
                new Steps(
                        List.of(new Step(A, Outcome.MET), new Step(B, Outcome.NOT_MET), new Step(C, Outcome.MET)),
                        Outcome.NOT_MET));
        for (Criterion criterion : criteria)
            for (String signs : ways("???", "+-?")) {
                List<Outcome> filled = ways(signs, "+-").stream()
                        .map(s -> finding(criterion, s).outcome())
                        .distinct()
                        .toList();
                assertThat(finding(criterion, signs).outcome())
                        .as(criterion + " " + signs)
                        .isEqualTo(filled.size() == 1 ? filled.get(0) : Outcome.NOT_MEASURED);
            }
    }

    private static List<String> ways(String signs, String fillings) {
        List<String> ways = new ArrayList<>(List.of(""));
        for (char sign : signs.toCharArray()) {
            List<String> longer = new ArrayList<>();
            for (String way : ways)
                for (char filling : (sign == '?' ? fillings : String.valueOf(sign)).toCharArray())
                    longer.add(way + filling);
            ways = longer;
        }
        return ways;
    }

    // Oracle: by hand.
    @Test
    void thePathEndsAtTheStepThatDecides() {
        Criterion steps = new Steps(List.of(new Step(A, Outcome.NOT_MET), new Step(B, Outcome.MET)), Outcome.NOT_MET);
        assertThat(finding(steps, "+++").path()).extracting(Check::sign).containsExactly("a");
        assertThat(finding(steps, "-++").path()).extracting(Check::sign).containsExactly("a", "b");
        assertThat(finding(steps, "-++").path())
                .extracting(Check::outcome)
                .containsExactly(Outcome.NOT_MET, Outcome.MET);
        assertThat(finding(steps, "--+").outcome()).isEqualTo(Outcome.NOT_MET);
    }

    // Oracle: the four relations at and beside the cut-off, by hand.
    @Test
    void comparisonsIncludeTheirCutOffAsTheySay() {
        double[] values = {0.9, 1.0, 1.1};
        String[] holds = {"BELOW 100", "AT_MOST 110", "ABOVE 001", "AT_LEAST 011"};
        for (String line : holds) {
            Is is = Is.valueOf(line.split(" ")[0]);
            for (int i = 0; i < 3; i++)
                assertThat(is.holds(values[i], 1.0)).as(line).isEqualTo(line.split(" ")[1].charAt(i) == '1');
        }
        assertThatThrownBy(() -> new Comparison("x", key("x"), Is.BELOW, Double.NaN))
                .hasMessage("value must be finite, got NaN");
    }

    @Test
    void aSignThatNothingStandsForIsNotMeasured() {
        assertThat(finding(new AtLeast(2, List.of(A, B, new Unmeasured("dark area"))), "+-+"))
                .satisfies(f -> assertThat(f.outcome()).isEqualTo(Outcome.NOT_MEASURED))
                .satisfies(f -> assertThat(f.path().get(2).value().reason()).contains("does not measure"));
        assertThat(finding(new AtLeast(2, List.of(A, B, new Unmeasured("dark area"))), "--+")
                        .outcome())
                .isEqualTo(Outcome.NOT_MET);
    }
}
