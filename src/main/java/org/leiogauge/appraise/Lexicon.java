// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.table.Definition;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Shipped;
import org.leiogauge.task.Yaml;

/**
 * The words in which a reader says what is seen, and what is measured of the same.
 *
 * @param signs in the order in which they are asked
 * @param concern what the grades of overall concern mean, from 1
 */
public record Lexicon(List<Sign> signs, List<String> concern) {
    public Lexicon {
        signs = List.copyOf(signs);
        concern = List.copyOf(concern);
        List<String> keys = signs.stream().map(Sign::key).toList();
        if (!keys.equals(Impression.signs()))
            throw new IllegalArgumentException("signs must be " + Impression.signs() + ", got " + keys);
        if (concern.size() != 5) throw new IllegalArgumentException("concern must have 5 grades");
    }

    /** How several counterparts of one sign go together. */
    public enum Together {
        /** The first that is measured counts; the others stand in where it is not. */
        FIRST,
        /** Each rules terms out; what is left counts. */
        ALL
    }

    /**
     * One sign.
     *
     * @param key as in the case file
     * @param asks the question to the reader
     * @param counterparts what is measured of it
     */
    public record Sign(
            String key, String name, String asks, List<Term> terms, Together together, List<Counterpart> counterparts) {
        public Sign {
            terms = List.copyOf(terms);
            counterparts = List.copyOf(counterparts);
            List<String> allowed = terms.stream().map(Term::term).toList();
            for (Counterpart counterpart : counterparts)
                for (Band band : counterpart.bands())
                    if (!allowed.containsAll(band.terms()) || band.terms().isEmpty())
                        throw new IllegalArgumentException(
                                "terms of a band of " + counterpart.feature() + " must be of " + allowed);
        }

        /** The terms themselves. */
        public List<String> allowed() {
            return terms.stream().map(Term::term).toList();
        }
    }

    /** One allowed term and what it means. */
    public record Term(String term, String means) {}

    /**
     * A measured value that stands beside a sign.
     *
     * @param bands from low values to high
     * @param source of the cut-offs between them
     */
    public record Counterpart(
            String feature, Optional<String> aggregation, Optional<String> unit, List<Band> bands, String source) {
        public Counterpart {
            bands = List.copyOf(bands);
            double before = Double.NEGATIVE_INFINITY;
            for (int i = 0; i < bands.size(); i++) {
                boolean last = i == bands.size() - 1;
                if (bands.get(i).below().isEmpty() != last)
                    throw new IllegalArgumentException("every band but the last needs below, got " + bands);
                if (last) continue;
                double below = bands.get(i).below().get();
                if (!(below > before)) throw new IllegalArgumentException("bands must ascend, got " + bands);
                before = below;
            }
        }

        FeatureKey key() {
            return new FeatureKey("lesion", feature, "lesion", Optional.empty(), aggregation, unit.orElse("1"));
        }

        Band band(double value) {
            for (Band band : bands)
                if (band.below().isEmpty() || value < band.below().get()) return band;
            throw new IllegalStateException("the last band has no end");
        }

        /** All bands that a value between these two can lie in. */
        List<Band> bands(double low, double high) {
            return bands.subList(bands.indexOf(band(low)), bands.indexOf(band(high)) + 1);
        }

        /** The cut-offs in words. */
        public String cutOffs() {
            List<String> parts = new ArrayList<>();
            for (Band band : bands)
                parts.add(String.join(" or ", band.terms())
                        + band.below().map(b -> " below " + Figures.digits(b)).orElse(" from there"));
            return String.join(", ", parts);
        }
    }

    /** Values below a cut-off, and the terms that they go with. */
    public record Band(Optional<Double> below, List<String> terms) {
        public Band {
            terms = List.copyOf(terms);
        }
    }

    /**
     * The lexicon that comes with the program.
     *
     * @param known the features that are measured
     */
    public static Lexicon shipped(List<Definition> known) {
        Lexicon lexicon = Shipped.read("lexicon.yaml", text -> Yaml.PLAIN.parse(text, "lexicon.yaml", Lexicon.class));
        for (Sign sign : lexicon.signs)
            for (Counterpart counterpart : sign.counterparts)
                counterpart.key().refusal(known).ifPresent(refusal -> {
                    throw new IllegalStateException("lexicon.yaml: " + sign.key + ": " + refusal);
                });
        return lexicon;
    }

    /**
     * Reads a case file and holds its impressions to the allowed terms.
     *
     * @throws InputException naming line and key, if the file is not usable or a term is not of the lexicon
     */
    public CaseFile read(Path file) throws InputException {
        CaseFile caseFile = CaseFile.read(file);
        for (int entry = 0; entry < caseFile.impression().size(); entry++)
            for (Sign sign : signs) {
                Optional<String> term = caseFile.impression().get(entry).term(sign.key);
                if (term.isPresent() && !sign.allowed().contains(term.get()))
                    throw new InputException(
                            file,
                            place(file, entry, sign.key),
                            term.get(),
                            "one of " + String.join(", ", sign.allowed()));
            }
        return caseFile;
    }

    // A single impression may stand without a list.
    private static String place(Path file, int entry, String key) throws InputException {
        String text = Yaml.content(file);
        String single = Yaml.PLAIN.place(text, List.of("impression", key));
        return single.startsWith("line")
                ? single
                : Yaml.PLAIN.place(text, List.of("impression", Integer.toString(entry), key));
    }
}
