// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.function.Function;
import java.util.stream.Collectors;
import org.leiogauge.task.Shipped;
import org.leiogauge.task.Yaml;

/**
 * The measured signs beside textbook patterns, sign by sign. It lists what speaks for and against each, and names no winner.
 *
 * @param rows one per pattern, in the order of the data file; never sorted by fit
 */
public record PatternChart(List<Row> rows) {

    /** Whether a measured sign fits what a pattern leads one to expect. */
    public enum Support {
        FOR("for"),
        AGAINST("against"),
        NOT_MEASURED("not measured");

        private final String text;

        Support(String text) {
            this.text = text;
        }

        @Override
        public String toString() {
            return text;
        }
    }

    /** A textbook pattern. */
    public record Pattern(String key, String name, String source, List<Expected> signs) {
        public Pattern {
            signs = List.copyOf(signs);
            Set<String> seen = new HashSet<>();
            for (Expected expected : signs)
                if (!seen.add(expected.sign()))
                    throw new IllegalArgumentException(key + " names the sign " + expected.sign() + " twice");
        }
    }

    /**
     * What a pattern leads one to expect of a sign.
     *
     * @param sign the lexicon's key
     * @param terms any of these fits
     */
    public record Expected(String sign, List<String> terms) {
        public Expected {
            terms = List.copyOf(terms);
        }
    }

    /** One pattern with all its signs. */
    public record Row(Pattern pattern, List<Cell> cells) {
        /** The cells with this support, in the order of the signs. */
        public List<Cell> with(Support support) {
            return cells.stream().filter(cell -> cell.support() == support).toList();
        }
    }

    /** One sign of one pattern. */
    public record Cell(Expected expected, SignReading reading, Support support) {}

    /** The patterns that come with the program. */
    static List<Pattern> patterns() {
        return Shipped.read("patterns.yaml", text -> Yaml.PLAIN.parse(text, "patterns.yaml", File.class))
                .patterns();
    }

    static PatternChart of(List<Pattern> patterns, List<SignReading> readings) {
        Map<String, SignReading> bySign =
                readings.stream().collect(Collectors.toMap(r -> r.sign().key(), Function.identity()));
        List<Row> rows = new ArrayList<>();
        for (Pattern pattern : patterns)
            rows.add(new Row(
                    pattern,
                    pattern.signs().stream()
                            .map(expected -> cell(expected, bySign.get(expected.sign())))
                            .toList()));
        return new PatternChart(List.copyOf(rows));
    }

    private static Cell cell(Expected expected, SignReading reading) {
        if (reading == null || !reading.sign().allowed().containsAll(expected.terms()))
            throw new IllegalArgumentException("a pattern expects " + expected + ", which the lexicon does not have");
        boolean fits = reading.terms().stream().anyMatch(expected.terms()::contains);
        return new Cell(
                expected, reading, !reading.isMeasured() ? Support.NOT_MEASURED : fits ? Support.FOR : Support.AGAINST);
    }

    /** The YAML form. */
    record File(List<Pattern> patterns) {}
}
