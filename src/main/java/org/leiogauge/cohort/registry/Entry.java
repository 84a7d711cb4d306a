// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.cohort.Checksum;
import org.leiogauge.cohort.Name;

/**
 * What is known of one lesion, with one measurement of it as one reader drew it. An empty text means that it is not known.
 *
 * @param impressions in the order of time
 */
public record Entry(
        Key key, Facts facts, Origin origin, List<Value> values, List<Impression> impressions, Outcome outcome) {
    public Entry {
        values = List.copyOf(values);
        impressions = List.copyOf(impressions);
    }

    /** Which lesion, and who drew it. */
    public record Key(String caseName, String lesion, String reader) {
        public Key {
            requireName("case", caseName);
            requireName("lesion", lesion);
            if (!reader.isEmpty()) requireName("reader", reader);
        }
    }

    /** What is known of the case. */
    public record Facts(String site, String ageBand, String menopausalStatus) {
        public static final Facts NONE = new Facts("", "", "");

        List<String> cells() {
            return List.of(site, ageBand, menopausalStatus);
        }
    }

    /**
     * Where the values come from.
     *
     * @param software name and version
     * @param settings in full, as YAML
     */
    public record Origin(String software, String settings) {
        public Origin {
            if (software.isBlank()) throw new IllegalArgumentException("software must be given");
        }

        String settingsId() {
            return Checksum.of(settings);
        }
    }

    /**
     * One value.
     *
     * @param meaning the dictionary's row, cells as the dictionary's columns
     * @param number absent if it was not measured
     */
    public record Value(
            List<String> meaning,
            Optional<Double> number,
            Optional<Double> low,
            Optional<Double> high,
            String status,
            String note) {
        public Value {
            meaning = List.copyOf(meaning);
        }

        String column() {
            return meaning.get(0);
        }

        /** The same for definitions that are the same in every word. */
        String definitionId() {
            return Checksum.of(String.join("\n", meaning));
        }

        List<String> cells() {
            return List.of(definitionId(), text(number), text(low), text(high), status, note);
        }

        static String text(Optional<Double> number) {
            return number.map(value -> Double.toString(value)).orElse("");
        }
    }

    /**
     * What the reader saw.
     *
     * @param locked local date and time
     * @param terms border, T2 signal, T2 homogeneity, T1 bright signal, enhancement, non-enhancing areas, diffusion
     * @param concern 1 to 5
     */
    public record Impression(String locked, List<String> terms, Optional<Integer> concern, String remark) {
        /** Names of the terms. */
        public static final List<String> TERMS = List.of(
                "border",
                "t2-signal",
                "t2-homogeneity",
                "t1-bright-signal",
                "enhancement",
                "non-enhancing-areas",
                "diffusion");

        public Impression {
            terms = List.copyOf(terms);
            if (terms.size() != TERMS.size())
                throw new IllegalArgumentException("terms must be " + TERMS.size() + ", got " + terms.size());
        }
    }

    /**
     * What it was.
     *
     * @param label the cohort's word for it, as {@code malignant}
     */
    public record Outcome(String label, String histology, String treatment) {
        public static final Outcome NONE = new Outcome("", "", "");

        List<String> cells() {
            return List.of(label, histology, treatment);
        }
    }

    /** The same for the same lesion, reader, software and settings. */
    String setId() {
        return Checksum.of(
                String.join("\n", key.caseName(), key.lesion(), key.reader(), origin.software(), origin.settingsId()));
    }

    /** The same for the same values. */
    String contentId() {
        List<String> lines = new ArrayList<>();
        values.forEach(value -> lines.add(String.join("\t", value.cells())));
        return Checksum.of(String.join("\n", lines));
    }

    /** The same for the same definitions in the same order. */
    String dictionaryVersion() {
        return Checksum.of(String.join(
                        "\n", values.stream().map(Value::definitionId).toList()))
                .substring(0, 16);
    }

    private static void requireName(String what, String name) {
        if (!Name.is(name)) throw new IllegalArgumentException(what + " must be " + Name.WORDS + ", got " + name);
    }
}
