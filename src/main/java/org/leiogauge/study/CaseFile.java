// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import com.fasterxml.jackson.annotation.JsonFormat;
import com.fasterxml.jackson.annotation.JsonProperty;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.Collections;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.function.Function;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/**
 * What a reader keeps beside a study: who drew what and when, roles set by hand, reference regions, the clinical facts, the
 * blind impression and the outcome. All but case and lesion may be absent. The keys of the YAML file are these names.
 *
 * <p>Impressions are only ever added: the first is formed blind and locked before any measurement is shown, a change of mind
 * is the next entry. {@link #locking} and {@link #showing} hold to that, and so does a file that says when the numbers were
 * shown.
 *
 * @param caseName the case's pseudonym, never a patient's name
 * @param lesion which lesion of the case
 * @param series per role the series UID or the file that has it, in place of what the software would choose
 * @param impression in the order of time; in a file, a single one may stand without a list
 * @param numbersShown when measurements of this case were first shown to the reader, local date and time
 */
public record CaseFile(
        @JsonProperty("case") String caseName,
        String lesion,
        Optional<Drawn> outline,
        Map<Role, String> series,
        Map<Tissue, Reference> references,
        Optional<Clinical> clinical,

        @JsonFormat(with = JsonFormat.Feature.ACCEPT_SINGLE_VALUE_AS_ARRAY)
        List<Impression> impression,

        Optional<String> numbersShown,
        Optional<Outcome> outcome) {

    public CaseFile {
        requireText("case", caseName);
        requireText("lesion", lesion);
        series = ordered(series);
        references = ordered(references);
        impression = impression == null ? List.of() : List.copyOf(impression);
        numbersShown = time("numbers-shown", numbersShown);
        inOrder(impression, numbersShown);
    }

    /** A case of which nothing is known but its name. */
    public static CaseFile named(String caseName) {
        return new CaseFile(
                caseName,
                "L1",
                Optional.empty(),
                Map.of(),
                Map.of(),
                Optional.empty(),
                List.of(),
                Optional.empty(),
                Optional.empty());
    }

    /**
     * The case with one more impression.
     *
     * @throws IllegalArgumentException if it is not locked, not later than the one before, or the first and formed after the
     *     numbers were shown
     */
    public CaseFile locking(Impression added) {
        if (added.locked().isEmpty()) throw new IllegalArgumentException("an impression to be kept must be locked");
        List<Impression> all = new ArrayList<>(withoutDraft().impression);
        all.add(added);
        return with(all, numbersShown);
    }

    /** The first impression while it is not locked. */
    public Optional<Impression> draft() {
        return impression.stream().filter(one -> one.locked().isEmpty()).findFirst();
    }

    /**
     * The case with a first impression that is not locked yet, in place of an earlier such one.
     *
     * @throws IllegalArgumentException if it is locked, another is locked already, or the numbers were shown
     */
    public CaseFile drafting(Impression draft) {
        if (draft.locked().isPresent()) throw new IllegalArgumentException("a draft must not be locked");
        List<Impression> all = new ArrayList<>(withoutDraft().impression);
        all.add(draft);
        return with(all, numbersShown);
    }

    /** The case without an impression that is not locked. */
    public CaseFile withoutDraft() {
        return with(impression.stream().filter(one -> one.locked().isPresent()).toList(), numbersShown);
    }

    /** The case with its lesion named so. */
    public CaseFile ofLesion(String name) {
        return new CaseFile(caseName, name, outline, series, references, clinical, impression, numbersShown, outcome);
    }

    /** The case whose outline was drawn so. */
    public CaseFile drawn(Drawn how) {
        return new CaseFile(
                caseName, lesion, Optional.of(how), series, references, clinical, impression, numbersShown, outcome);
    }

    /** The case whose only impression, which was not locked yet, is locked now. */
    public CaseFile lockedAt(LocalDateTime now) {
        if (impression.size() != 1 || impression.get(0).locked().isPresent())
            throw new IllegalArgumentException("the case must have one impression that is not locked");
        return with(List.of(impression.get(0).lockedAt(now)), numbersShown);
    }

    /** The case whose measurements are shown from now on; the first time counts. */
    public CaseFile showing(LocalDateTime now) {
        return numbersShown.isPresent() ? this : with(impression, Optional.of(now.toString()));
    }

    private CaseFile with(List<Impression> impressions, Optional<String> shown) {
        return new CaseFile(caseName, lesion, outline, series, references, clinical, impressions, shown, outcome);
    }

    /** @throws InputException naming key and line, if the file is not usable */
    public static CaseFile read(Path file) throws InputException {
        return Yaml.PLAIN.read(file, CaseFile.class);
    }

    /** Who drew the outline, and when. */
    public record Drawn(Optional<String> reader, Optional<String> drawn) {
        public Drawn {
            drawn = time("outline.drawn", drawn);
        }
    }

    /** Where a reference tissue lies: balls about points, or a mask's file; one of both. */
    public record Reference(List<Ball> points, Optional<String> mask) {
        public Reference {
            points = points == null ? List.of() : List.copyOf(points);
            if (points.isEmpty() == mask.isEmpty())
                throw new IllegalArgumentException("a reference region needs either points or a mask");
        }
    }

    /**
     * A ball.
     *
     * @param at its centre in patient space: three numbers, LPS, in mm
     * @param radius in mm
     */
    public record Ball(List<Double> at, double radius) {
        public Ball {
            if (at == null || at.size() != 3)
                throw new IllegalArgumentException("at must be three numbers, LPS in mm, got " + at);
            at = List.copyOf(at);
            if (!(radius > 0 && radius < Double.POSITIVE_INFINITY))
                throw new IllegalArgumentException("radius must be finite and > 0 mm, got " + radius);
        }

        public Point centre() {
            return new Point(at.get(0), at.get(1), at.get(2));
        }
    }

    /** Clinical facts, coarse enough not to tell who it is. */
    public record Clinical(
            Optional<String> ageBand, Optional<String> menopausalStatus, Optional<LaboratoryValue> ldh) {}

    /** A laboratory value with the upper limit of its laboratory. */
    public record LaboratoryValue(double value, String unit, Optional<Double> upperLimit) {
        public LaboratoryValue {
            requireText("unit", unit);
        }
    }

    /**
     * What the reader saw: the first blind, before any number was shown. The terms are those of the lexicon.
     *
     * @param concern 1 (none) to 5 (grave)
     * @param locked when it was locked, local date and time
     */
    public record Impression(
            Optional<String> border,
            @JsonProperty("t2-signal") Optional<String> t2Signal,
            @JsonProperty("t2-homogeneity") Optional<String> t2Homogeneity,
            @JsonProperty("t1-bright-signal") Optional<String> t1BrightSignal,
            Optional<String> enhancement,
            Optional<String> nonEnhancingAreas,
            Optional<String> diffusion,
            Optional<Integer> concern,
            Optional<String> comment,
            Optional<String> locked) {
        private static final Map<String, Function<Impression, Optional<String>>> TERMS = new LinkedHashMap<>();

        static {
            TERMS.put("border", Impression::border);
            TERMS.put("t2-signal", Impression::t2Signal);
            TERMS.put("t2-homogeneity", Impression::t2Homogeneity);
            TERMS.put("t1-bright-signal", Impression::t1BrightSignal);
            TERMS.put("enhancement", Impression::enhancement);
            TERMS.put("non-enhancing-areas", Impression::nonEnhancingAreas);
            TERMS.put("diffusion", Impression::diffusion);
        }

        public Impression {
            locked = time("impression.locked", locked);
            if (concern.isPresent() && (concern.get() < 1 || concern.get() > 5))
                throw new IllegalArgumentException("concern must be 1 to 5, got " + concern.get());
        }

        /** The keys of the signs in the file, in the order in which they are asked. */
        public static List<String> signs() {
            return List.copyOf(TERMS.keySet());
        }

        /**
         * The term called for a sign.
         *
         * @param sign one of {@link #signs}
         */
        public Optional<String> term(String sign) {
            Function<Impression, Optional<String>> term = TERMS.get(sign);
            if (term == null) throw new IllegalArgumentException("sign must be of the lexicon, got " + sign);
            return term.apply(this);
        }

        /** @param term what is called for each of {@link #signs} */
        public static Impression of(
                Function<String, Optional<String>> term,
                Optional<Integer> concern,
                Optional<String> comment,
                Optional<String> locked) {
            return new Impression(
                    term.apply("border"),
                    term.apply("t2-signal"),
                    term.apply("t2-homogeneity"),
                    term.apply("t1-bright-signal"),
                    term.apply("enhancement"),
                    term.apply("non-enhancing-areas"),
                    term.apply("diffusion"),
                    concern,
                    comment,
                    locked);
        }

        private Impression lockedAt(LocalDateTime now) {
            return of(this::term, concern, comment, Optional.of(now.toString()));
        }
    }

    /** What it was. */
    public record Outcome(Optional<String> histology, Optional<String> procedure) {}

    private static void inOrder(List<Impression> impressions, Optional<String> numbersShown) {
        Optional<LocalDateTime> before = Optional.empty();
        for (int i = 0; i < impressions.size(); i++) {
            Optional<LocalDateTime> locked = impressions.get(i).locked().map(LocalDateTime::parse);
            if (locked.isEmpty() && impressions.size() > 1)
                throw new IllegalArgumentException(
                        "impression " + (i + 1) + " of " + impressions.size() + " has no time at which it was locked");
            if (before.isPresent() && !locked.orElseThrow().isAfter(before.get()))
                throw new IllegalArgumentException("impression " + (i + 1) + " was locked at " + locked.get()
                        + ", not after the one before, " + before.get());
            before = locked;
        }
        if (impressions.isEmpty() || numbersShown.isEmpty()) return;
        Optional<String> first = impressions.get(0).locked();
        if (first.isEmpty() || LocalDateTime.parse(first.get()).isAfter(LocalDateTime.parse(numbersShown.get())))
            throw new IllegalArgumentException("the first impression was "
                    + first.map(at -> "entered at " + at).orElse("not locked")
                    + ", but the numbers were shown at " + numbersShown.get() + ": it is not blind");
    }

    private static void requireText(String key, String text) {
        if (text == null || text.isBlank()) throw new IllegalArgumentException(key + " must be given");
    }

    private static Optional<String> time(String key, Optional<String> time) {
        try {
            time.ifPresent(LocalDateTime::parse);
            return time;
        } catch (DateTimeParseException e) {
            throw new IllegalArgumentException(
                    key + " must be a local date and time as 2026-03-02T10:15:00, got " + time.orElseThrow());
        }
    }

    private static <K extends Enum<K>, V> Map<K, V> ordered(Map<K, V> map) {
        if (map == null || map.isEmpty()) return Map.of();
        return Collections.unmodifiableMap(new EnumMap<>(map));
    }
}
