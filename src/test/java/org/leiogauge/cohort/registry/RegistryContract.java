// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Registry.Added;
import org.leiogauge.cohort.registry.Registry.Change;
import org.leiogauge.task.InputException;

/** What holds for a registry on any database; each test begins with an empty one. */
abstract class RegistryContract {
    abstract Registry open() throws InputException, IOException;

    @Test
    void whatWasAddedComesBackInOrderAndAddingItAgainChangesNothing() throws IOException, InputException {
        Entry a = Entries.of("a", "r1", 5.25);
        Entry a2 = Entries.of("a", "r2", 0.1);
        Entry b = Entries.of("b", "r1", -1e-300);
        try (Registry registry = open()) {
            for (Entry entry : List.of(b, a2, a))
                assertThat(registry.add(entry).change()).isEqualTo(Change.ADDED);
            for (Entry entry : List.of(a, b, a2))
                assertThat(registry.add(entry).change()).isEqualTo(Change.UNCHANGED);
            assertThat(Entries.in(registry)).containsExactly(a, a2, b);
        }
        try (Registry registry = open()) {
            assertThat(Entries.in(registry)).containsExactly(a, a2, b);
            assertThat(registry.list()).hasSize(3);
            assertThat(registry.list().get(0).values()).isEqualTo(2);
            assertThat(registry.list().get(0).impressions()).isEqualTo(1);
        }
    }

    @Test
    void whatContradictsIsListedAndNothingIsOverwritten() throws IOException, InputException {
        Entry a = Entries.of("a", "r1", 5.25);
        try (Registry registry = open()) {
            registry.add(a);
            assertConflict(registry, Entries.of("a", "r1", 6), "other values are there, measured by Leiogauge 0.1.0");
            assertConflict(registry, Entries.with(a, new Facts("site-2", "", "")), "site is site-1, not site-2");
            assertConflict(
                    registry,
                    Entries.with(a, new Outcome("malignant", "", "")),
                    "case a, lesion L1, reader r1: outcome is benign, not malignant");
            assertConflict(
                    registry,
                    Entries.with(a, List.of(Entries.impression("2026-03-02T10:20:00", 5))),
                    "impression 1 is another than the one that was locked at 2026-03-02T10:20:00");
            // a contradiction in one part keeps the rest of the entry out, too
            Entry mixed = Entries.with(Entries.of("a", "r9", 1), new Facts("site-2", "", ""));
            assertConflict(registry, mixed, "site is site-1");
            assertThat(Entries.in(registry)).containsExactly(a);
        }
    }

    private static void assertConflict(Registry registry, Entry entry, String message)
            throws InputException, IOException {
        Added added = registry.add(entry);
        assertThat(added.change()).isEqualTo(Change.CONFLICT);
        assertThat(added.conflicts()).singleElement().asString().contains(message);
    }

    @Test
    void whatWasNotKnownIsFilledInAndOtherSettingsAreAnotherMeasurement() throws IOException, InputException {
        Entry whole = Entries.of("a", "r1", 5.25);
        Entry bare = Entries.with(Entries.with(Entries.with(whole, Facts.NONE), Outcome.NONE), List.of());
        Entry again = Entries.with(whole, new Origin("Leiogauge 0.2.0", "x: 1\n"), Entries.values(7, "mm3"));
        try (Registry registry = open()) {
            registry.add(bare);
            assertThat(registry.add(whole).change()).isEqualTo(Change.ADDED);
            assertThat(registry.add(bare).change()).isEqualTo(Change.UNCHANGED);
            assertThat(Entries.in(registry)).containsExactly(whole);
            assertThat(registry.add(again).change()).isEqualTo(Change.ADDED);
            assertThat(Entries.in(registry)).containsExactly(whole, again);
        }
    }

    @Test
    void hostileTextsAreKeptAsTheyAre() throws IOException, InputException {
        Entry hostile = Entries.with(
                Entries.of("a", "r1", 1),
                new Outcome("x'; DROP TABLE registry_case; --", "<script>alert(1)</script>", "=cmd|' /C calc'!A0"));
        try (Registry registry = open()) {
            registry.add(hostile);
            assertThat(Entries.in(registry)).containsExactly(hostile);
        }
    }
}
