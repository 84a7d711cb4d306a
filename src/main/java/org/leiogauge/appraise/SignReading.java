// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.appraise.Lexicon.Band;
import org.leiogauge.appraise.Lexicon.Counterpart;
import org.leiogauge.appraise.Lexicon.Sign;
import org.leiogauge.appraise.Lexicon.Together;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;

/**
 * What the measured values say of one sign, in the lexicon's terms.
 *
 * @param measured the counterparts that were looked at, measured or not
 * @param terms the terms that go with the values; empty if none is measured, or if they rule each other out
 * @param reachable the terms that go with some value within the intervals; holds {@code terms}
 */
public record SignReading(Sign sign, List<Measured> measured, List<String> terms, List<String> reachable) {

    /** One counterpart, its value and the cut-offs it is held against. */
    public record Measured(Counterpart counterpart, Measurement value, Optional<Interval> interval) {
        /** In words, with the cut-offs used. */
        public String text() {
            String label = counterpart.key().label();
            if (value.number().isEmpty()) return label + " not measured: " + value.reason();
            String unit = counterpart.unit().map(u -> " " + u).orElse("");
            return label + " " + Figures.digits(value.number().getAsDouble()) + unit
                    + interval.map(i -> " (" + Figures.digits(i.low()) + " to " + Figures.digits(i.high()) + ")")
                            .orElse("")
                    + " - " + counterpart.cutOffs();
        }
    }

    /** Whether another value within the interval would go with other terms. */
    public boolean nearCutOff() {
        return !reachable.equals(terms);
    }

    public boolean isMeasured() {
        return !terms.isEmpty();
    }

    static SignReading of(Sign sign, LesionValues values) {
        List<Measured> measured = new ArrayList<>();
        Set<String> terms = new LinkedHashSet<>(sign.allowed());
        Set<String> reachable = new LinkedHashSet<>(sign.allowed());
        boolean any = false;
        for (Counterpart counterpart : sign.counterparts()) {
            LesionValues.Found found = values.find(counterpart.key());
            measured.add(new Measured(counterpart, found.value(), found.interval()));
            if (found.value().number().isEmpty()) continue;
            double value = found.value().number().getAsDouble();
            double low = found.interval().map(i -> Math.min(i.low(), value)).orElse(value);
            double high = found.interval().map(i -> Math.max(i.high(), value)).orElse(value);
            keep(terms, counterpart.bands(value, value));
            keep(reachable, counterpart.bands(low, high));
            any = true;
            if (sign.together() == Together.FIRST) break;
        }
        if (!any) return new SignReading(sign, List.copyOf(measured), List.of(), List.of());
        return new SignReading(sign, List.copyOf(measured), inOrder(sign, terms), inOrder(sign, reachable));
    }

    private static void keep(Set<String> terms, List<Band> bands) {
        Set<String> named = new HashSet<>();
        bands.forEach(band -> named.addAll(band.terms()));
        terms.retainAll(named);
    }

    private static List<String> inOrder(Sign sign, Set<String> terms) {
        return sign.allowed().stream().filter(terms::contains).toList();
    }
}
