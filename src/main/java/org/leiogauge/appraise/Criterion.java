// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.function.Function;
import java.util.stream.Stream;
import org.leiogauge.table.Measurement;

/** A criterion as a tree: comparisons of values with cut-offs at its leaves. */
public sealed interface Criterion {
    /**
     * Whether it holds, and what was looked at to tell.
     *
     * @param values the value that a comparison looks at
     */
    Finding finding(Function<FeatureKey, Measurement> values);

    /** All comparisons in it, in order. */
    Stream<Comparison> comparisons();

    /**
     * What came of it.
     *
     * @param path what was looked at, in order; with steps, only as far as it was needed
     */
    record Finding(Outcome outcome, List<Check> path) {
        public Finding {
            path = List.copyOf(path);
        }
    }

    /**
     * One thing that was looked at.
     *
     * @param sign in the card's words
     * @param comparison what was compared; what is not measured is no comparison
     * @param value what was found
     */
    record Check(String sign, Optional<Comparison> comparison, Measurement value, Outcome outcome) {}

    /** On which side of the cut-off the value must lie. */
    enum Is {
        BELOW("below"),
        AT_MOST("at most"),
        ABOVE("above"),
        AT_LEAST("at least");

        private final String text;

        Is(String text) {
            this.text = text;
        }

        boolean holds(double value, double cutOff) {
            return switch (this) {
                case BELOW -> value < cutOff;
                case AT_MOST -> value <= cutOff;
                case ABOVE -> value > cutOff;
                case AT_LEAST -> value >= cutOff;
            };
        }

        @Override
        public String toString() {
            return text;
        }
    }

    /**
     * A value against its cut-off.
     *
     * @param sign what it stands for, in plain words
     * @param cutOff in the key's unit
     */
    record Comparison(String sign, FeatureKey key, Is is, double cutOff) implements Criterion {
        public Comparison {
            if (!Double.isFinite(cutOff)) throw new IllegalArgumentException("value must be finite, got " + cutOff);
        }

        @Override
        public Finding finding(Function<FeatureKey, Measurement> values) {
            Measurement value = values.apply(key);
            Outcome outcome = value.number().isEmpty()
                    ? Outcome.NOT_MEASURED
                    : Outcome.of(is.holds(value.number().getAsDouble(), cutOff));
            return new Finding(outcome, List.of(new Check(sign, Optional.of(this), value, outcome)));
        }

        @Override
        public Stream<Comparison> comparisons() {
            return Stream.of(this);
        }
    }

    /** A sign of the published rule that no feature stands for. */
    record Unmeasured(String sign) implements Criterion {
        @Override
        public Finding finding(Function<FeatureKey, Measurement> values) {
            Measurement none = new Measurement.NotMeasured("this tool does not measure it");
            return new Finding(
                    Outcome.NOT_MEASURED, List.of(new Check(sign, Optional.empty(), none, Outcome.NOT_MEASURED)));
        }

        @Override
        public Stream<Comparison> comparisons() {
            return Stream.empty();
        }
    }

    /** At least so many of several; all of them or any of them are the ends of that. */
    record AtLeast(int number, List<Criterion> of) implements Criterion {
        public AtLeast {
            of = List.copyOf(of);
            if (number < 1 || number > of.size())
                throw new IllegalArgumentException("at least " + number + " of " + of.size() + " criteria cannot be");
        }

        @Override
        public Finding finding(Function<FeatureKey, Measurement> values) {
            List<Finding> parts = of.stream().map(part -> part.finding(values)).toList();
            return new Finding(
                    Outcome.atLeast(number, parts.stream().map(Finding::outcome).toList()),
                    parts.stream().flatMap(part -> part.path().stream()).toList());
        }

        @Override
        public Stream<Comparison> comparisons() {
            return of.stream().flatMap(Criterion::comparisons);
        }
    }

    /** Not this. */
    record Not(Criterion of) implements Criterion {
        @Override
        public Finding finding(Function<FeatureKey, Measurement> values) {
            Finding finding = of.finding(values);
            return new Finding(finding.outcome().not(), finding.path());
        }

        @Override
        public Stream<Comparison> comparisons() {
            return of.comparisons();
        }
    }

    /**
     * Steps one after the other: the first whose condition holds decides.
     *
     * @param otherwise what it is if none holds
     */
    record Steps(List<Step> steps, Outcome otherwise) implements Criterion {
        public Steps {
            steps = List.copyOf(steps);
            if (steps.isEmpty()) throw new IllegalArgumentException("steps must not be empty");
        }

        @Override
        public Finding finding(Function<FeatureKey, Measurement> values) {
            return from(0, values);
        }

        // A step that cannot be told leaves the outcome open unless what follows comes to the same.
        private Finding from(int at, Function<FeatureKey, Measurement> values) {
            if (at == steps.size()) return new Finding(otherwise, List.of());
            Step step = steps.get(at);
            Finding here = step.when().finding(values);
            if (here.outcome() == Outcome.MET) return new Finding(step.then(), here.path());
            Finding rest = from(at + 1, values);
            List<Check> path = new ArrayList<>(here.path());
            path.addAll(rest.path());
            boolean open = here.outcome() == Outcome.NOT_MEASURED && rest.outcome() != step.then();
            return new Finding(open ? Outcome.NOT_MEASURED : rest.outcome(), path);
        }

        @Override
        public Stream<Comparison> comparisons() {
            return steps.stream().flatMap(step -> step.when().comparisons());
        }
    }

    /** If this holds, the whole comes out so. */
    record Step(Criterion when, Outcome then) {}
}
