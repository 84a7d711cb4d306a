// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import com.fasterxml.jackson.annotation.JsonProperty;
import java.math.BigDecimal;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.appraise.CriteriaCard.CardCounts;
import org.leiogauge.appraise.Criterion.Comparison;
import org.leiogauge.table.Definition;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/** The YAML form of a criteria card. */
record CardFile(
        String id,
        String name,
        String source,
        Mark mark,
        String population,
        String target,
        Node criterion,
        List<String> standIns,
        List<String> leavesOut,
        List<CountsNode> counts,
        List<String> cautions) {

    CardFile {
        for (Object[] part : new Object[][] {
            {"id", id}, {"name", name}, {"source", source}, {"population", population}, {"target", target}
        }) requireText((String) part[0], (String) part[1]);
        if (!id.matches("[a-z0-9]+(-[a-z0-9]+)*"))
            throw new IllegalArgumentException("id must be small letters and digits with hyphens between, got " + id);
        if (mark == null) throw new IllegalArgumentException("mark must be given");
        if (criterion == null) throw new IllegalArgumentException("criterion must be given");
        standIns = orEmpty(standIns);
        leavesOut = orEmpty(leavesOut);
        counts = orEmpty(counts);
        cautions = orEmpty(cautions);
    }

    /**
     * The card that a text holds.
     *
     * @param file named in errors
     * @param known the features that a criterion may name
     */
    static CriteriaCard read(String text, Object file, List<Definition> known) throws InputException {
        CardFile card = Yaml.PLAIN.parse(text, file, CardFile.class);
        return new CriteriaCard(
                card.id,
                card.name,
                card.source,
                card.mark,
                card.population,
                card.target,
                new Reading(text, file, known).criterion(card.criterion, List.of("criterion")),
                card.standIns,
                card.leavesOut,
                card.counts.stream().map(CountsNode::counts).toList(),
                card.cautions);
    }

    /** One node of the tree; which keys it has says which kind it is. */
    record Node(
            List<Node> all,
            List<Node> any,
            Optional<Integer> atLeast,
            List<Node> of,
            Optional<Node> not,
            List<StepNode> steps,
            Optional<Decision> otherwise,
            Optional<String> unmeasured,
            Optional<String> sign,
            Optional<String> feature,
            Optional<String> group,
            Optional<String> region,
            Optional<String> series,
            Optional<String> aggregation,
            Optional<Criterion.Is> is,
            Optional<Double> value,
            Optional<String> unit) {
        private static final String KINDS =
                "a criterion is one of all, any, at-least with of, not, steps with otherwise, "
                        + "unmeasured, or sign with feature, is, value and unit";

        Node {
            int kinds = 0;
            for (boolean has : new boolean[] {
                all != null,
                any != null,
                atLeast.isPresent(),
                not.isPresent(),
                steps != null,
                unmeasured.isPresent(),
                feature.isPresent()
            }) if (has) kinds++;
            boolean comparison = is.isPresent() && value.isPresent() && sign.isPresent();
            boolean ofComparison = is.isPresent()
                    || value.isPresent()
                    || sign.isPresent()
                    || unit.isPresent()
                    || group.isPresent()
                    || region.isPresent()
                    || series.isPresent()
                    || aggregation.isPresent();
            if (kinds != 1
                    || atLeast.isPresent() != (of != null)
                    || otherwise.isPresent() != (steps != null)
                    || (feature.isPresent() ? !comparison : ofComparison)) throw new IllegalArgumentException(KINDS);
        }
    }

    /** One step. */
    record StepNode(@JsonProperty("if") Node condition, Decision then) {
        StepNode {
            if (condition == null || then == null) throw new IllegalArgumentException("a step needs if and then");
        }
    }

    /** What a step decides. */
    enum Decision {
        MET(Outcome.MET),
        NOT_MET(Outcome.NOT_MET);

        private final Outcome outcome;

        Decision(Outcome outcome) {
            this.outcome = outcome;
        }
    }

    /** Counts, and what the paper prints beside them, against which they are checked. */
    record CountsNode(
            String of,
            Mark mark,
            int truePositive,
            int falseNegative,
            int falsePositive,
            int trueNegative,
            Optional<Integer> diseased,
            Optional<Integer> healthy,
            Optional<BigDecimal> sensitivityPercent,
            Optional<BigDecimal> specificityPercent) {
        CountsNode {
            requireText("of", of);
            if (mark == null) throw new IllegalArgumentException("mark must be given");
            Counts counts = new Counts(truePositive, falseNegative, falsePositive, trueNegative);
            requireSum("true-positive + false-negative", counts.diseased(), diseased);
            requireSum("false-positive + true-negative", counts.healthy(), healthy);
            requireShare("sensitivity", counts.sensitivity(), sensitivityPercent);
            requireShare("specificity", counts.specificity(), specificityPercent);
        }

        CardCounts counts() {
            return new CardCounts(of, mark, new Counts(truePositive, falseNegative, falsePositive, trueNegative));
        }

        private static void requireSum(String which, int sum, Optional<Integer> stated) {
            if (stated.isPresent() && stated.get() != sum)
                throw new IllegalArgumentException(
                        "the counts do not add up: " + which + " is " + sum + ", stated " + stated.get());
        }

        // As printed: to half a unit of the last digit, either way.
        private static void requireShare(String which, Proportion share, Optional<BigDecimal> stated) {
            if (stated.isEmpty()) return;
            double half = 0.5 * Math.pow(10, -stated.get().scale());
            double percent = 100 * share.value();
            if (Math.abs(percent - stated.get().doubleValue()) > half + 1e-9)
                throw new IllegalArgumentException("the counts do not add up: " + which + " is " + share.hits() + " of "
                        + share.of() + ", " + Figures.digits(percent) + " %, stated " + stated.get() + " %");
        }
    }

    private record Reading(String text, Object file, List<Definition> known) {
        Criterion criterion(Node node, List<String> at) throws InputException {
            try {
                if (node.all != null) return new Criterion.AtLeast(node.all.size(), list(node.all, with(at, "all")));
                if (node.any != null) return new Criterion.AtLeast(1, list(node.any, with(at, "any")));
                if (node.of != null) return new Criterion.AtLeast(node.atLeast.get(), list(node.of, with(at, "of")));
                if (node.not.isPresent()) return new Criterion.Not(criterion(node.not.get(), with(at, "not")));
                if (node.steps != null)
                    return new Criterion.Steps(steps(node.steps, with(at, "steps")), node.otherwise.get().outcome);
                if (node.unmeasured.isPresent()) return new Criterion.Unmeasured(node.unmeasured.get());
                return comparison(node, at);
            } catch (IllegalArgumentException refusal) {
                throw InputException.refused(file, Yaml.PLAIN.place(text, at), refusal);
            }
        }

        private List<Criterion> list(List<Node> nodes, List<String> at) throws InputException {
            List<Criterion> criteria = new ArrayList<>();
            for (int i = 0; i < nodes.size(); i++) criteria.add(criterion(nodes.get(i), with(at, i)));
            return criteria;
        }

        private List<Criterion.Step> steps(List<StepNode> nodes, List<String> at) throws InputException {
            List<Criterion.Step> steps = new ArrayList<>();
            for (int i = 0; i < nodes.size(); i++) {
                StepNode node = nodes.get(i);
                steps.add(new Criterion.Step(criterion(node.condition, with(with(at, i), "if")), node.then.outcome));
            }
            return steps;
        }

        private Comparison comparison(Node node, List<String> at) throws InputException {
            FeatureKey key = new FeatureKey(
                    node.group.orElse("lesion"),
                    node.feature.get(),
                    node.region.orElse("lesion"),
                    node.series,
                    node.aggregation,
                    node.unit.orElse("1"));
            Optional<String> refusal = key.refusal(known);
            if (refusal.isPresent())
                throw new InputException(
                        file,
                        Yaml.PLAIN.place(text, with(at, "feature")),
                        refusal.get(),
                        "a measured feature in its unit");
            return new Comparison(node.sign.get(), key, node.is.get(), node.value.get());
        }

        private static List<String> with(List<String> keys, Object next) {
            List<String> longer = new ArrayList<>(keys);
            longer.add(String.valueOf(next));
            return longer;
        }
    }

    private static void requireText(String key, String text) {
        if (text == null || text.isBlank()) throw new IllegalArgumentException(key + " must be given");
    }

    private static <T> List<T> orEmpty(List<T> list) {
        return list == null ? List.of() : List.copyOf(list);
    }
}
