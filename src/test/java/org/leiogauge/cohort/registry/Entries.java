// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Key;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.task.InputException;

/** Entries made up for the tests of the registry. */
final class Entries {
    static final Origin ORIGIN = new Origin("Leiogauge 0.1.0", "features:\n  dimensions: 3\n");

    private Entries() {}

    static Entry of(String caseName, String reader, double volume) {
        return new Entry(
                new Key(caseName, "L1", reader),
                new Facts("site-1", "45-49", "premenopausal"),
                ORIGIN,
                values(volume, "mm3"),
                List.of(impression("2026-03-02T10:20:00", 3)),
                new Outcome("benign", "leiomyoma", "myomectomy"));
    }

    static List<Value> values(double volume, String unit) {
        return List.of(
                new Value(
                        meaning("lesion/volume", unit),
                        Optional.of(volume),
                        Optional.of(volume - 1),
                        Optional.of(volume + 1),
                        "ok",
                        ""),
                new Value(
                        meaning("lesion/adc-mean", "10-3.mm2/s"),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        "not measured",
                        "no ADC series was measured"));
    }

    private static List<String> meaning(String column, String unit) {
        return List.of(column, "lesion", "", "lesion", column, "", "", "", unit, "how much of it", "common practice");
    }

    static Impression impression(String locked, int concern) {
        return new Impression(
                locked, List.of("sharp", "low", "", "", "", "", ""), Optional.of(concern), "seen with Dr Smith");
    }

    static Entry with(Entry entry, Facts facts) {
        return new Entry(entry.key(), facts, entry.origin(), entry.values(), entry.impressions(), entry.outcome());
    }

    static Entry with(Entry entry, Outcome outcome) {
        return new Entry(entry.key(), entry.facts(), entry.origin(), entry.values(), entry.impressions(), outcome);
    }

    static Entry with(Entry entry, List<Impression> impressions) {
        return new Entry(entry.key(), entry.facts(), entry.origin(), entry.values(), impressions, entry.outcome());
    }

    static Entry with(Entry entry, Origin origin, List<Value> values) {
        return new Entry(entry.key(), entry.facts(), origin, values, entry.impressions(), entry.outcome());
    }

    static List<Entry> in(Registry registry) throws InputException, IOException {
        List<Entry> all = new ArrayList<>();
        registry.forEach(Optional.empty(), all::add);
        return all;
    }
}
