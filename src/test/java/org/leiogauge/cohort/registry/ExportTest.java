// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.Duration;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterEach;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.cohort.registry.ExportFolder.Dates;
import org.leiogauge.cohort.registry.Registry.Change;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;

class ExportTest {
    @TempDir
    Path folder;

    private Registry registry;

    @BeforeEach
    void open() throws IOException, InputException {
        registry = Registry.open(folder.resolve("registry").toString(), true);
    }

    @AfterEach
    void close() throws IOException {
        registry.close();
    }

    @Test
    void nothingThatTellsWhoItIsIsInAnyByteOfAnExport() throws IOException, InputException {
        registry.add(Entries.of("miller-anna", "reader-one", 5.25));
        registry.add(Entries.of("jones-mary", "reader-one", 6.5));
        export("out", Dates.DROP);
        try (Stream<Path> files = Files.list(folder.resolve("out"))) {
            for (Path file : files.toList())
                assertThat(Files.readString(file))
                        .as(file.toString())
                        .doesNotContain("miller", "jones", "reader-one", "Smith", "2026-03");
        }
        assertThat(CsvTable.read(folder.resolve("out/features-wide.csv")).rows())
                .hasSize(2);
    }

    @Test
    void whatLooksLikeAnIdentityStopsTheExport() throws IOException, InputException {
        String[] texts = {
            "seen on 2026-03-02",
            "born 02.03.1970",
            "20260302",
            "MILLER^ANNA",
            "patient 12345678",
            "1.2.840.10008.5.1.4",
            "a.miller@example.org",
            "from /home/anna/study",
            "as in case plain-name",
        };
        registry.add(Entries.of("plain-name", "r1", 1));
        for (int i = 0; i < texts.length; i++) {
            Path file = folder.resolve("one-" + i);
            try (Registry one = Registry.open(file.toString(), true)) {
                one.add(Entries.with(Entries.of("plain-name", "r1", 1), new Outcome("benign", texts[i], "")));
                assertThatThrownBy(() -> ExportFolder.write(
                                one, new ExportFolder.Options(Dates.DROP, Optional.empty(), 5), folder.resolve("out")))
                        .as(texts[i])
                        .isInstanceOf(InputException.class)
                        .hasMessageContaining(", histology: found")
                        .hasMessageNotContaining(texts[i]);
            }
            assertThat(folder.resolve("out")).doesNotExist();
        }
    }

    @Test
    void aNoteThatNamesAFileIsLeftOut() throws IOException, InputException {
        Entry plain = Entries.of("a", "r1", 1);
        List<Value> values = new ArrayList<>(plain.values());
        Value last = values.remove(1);
        values.add(new Value(
                last.meaning(),
                last.number(),
                last.low(),
                last.high(),
                last.status(),
                "cannot read /data/miller/adc.nii"));
        registry.add(Entries.with(plain, plain.origin(), values));
        export("out", Dates.DROP);
        assertThat(Files.readString(folder.resolve("out/measurements.csv")))
                .contains("note left out")
                .doesNotContain("miller");
    }

    // Oracle: the intervals between the dates that were entered.
    @Test
    void shiftedDatesKeepTheirIntervalsWithinACaseAndAreNotTheDatesThemselves() throws IOException, InputException {
        registry.add(Entries.with(
                Entries.of("a", "r1", 1),
                List.of(Entries.impression("2026-03-02T10:20:00", 3), Entries.impression("2026-03-09T11:30:15", 4))));
        export("out", Dates.SHIFT);
        List<LocalDateTime> times = CsvTable.read(folder.resolve("out/impressions.csv")).rows().stream()
                .map(row -> LocalDateTime.parse(row.get(1)))
                .toList();
        assertThat(Duration.between(times.get(0), times.get(1)))
                .isEqualTo(Duration.ofDays(7).plusHours(1).plusMinutes(10).plusSeconds(15));
        assertThat(times.get(0)).isNotEqualTo(LocalDateTime.parse("2026-03-02T10:20:00"));
    }

    @Test
    void mergingTwiceIsMergingOnceAndCentresArePooled() throws IOException, InputException {
        registry.add(Entries.of("a", "r1", 5.25));
        registry.add(Entries.of("b", "", 0.1));
        export("first", Dates.SHIFT);
        registry.add(Entries.of("c", "r1", 3));
        export("second", Dates.SHIFT);
        try (Registry pooled = Registry.open(folder.resolve("pooled").toString(), true)) {
            assertThat(merge(pooled, "first")).containsExactly(Change.ADDED, Change.ADDED);
            List<Entry> once = Entries.in(pooled);
            assertThat(merge(pooled, "first")).containsExactly(Change.UNCHANGED, Change.UNCHANGED);
            assertThat(Entries.in(pooled)).isEqualTo(once);
            assertThat(merge(pooled, "second")).containsExactly(Change.UNCHANGED, Change.UNCHANGED, Change.ADDED);
            assertThat(Entries.in(pooled)).hasSize(3);
            assertThat(Entries.in(pooled).stream()
                            .map(entry -> entry.values().get(0).number().orElseThrow()))
                    .containsExactlyInAnyOrder(5.25, 0.1, 3.0);
        }
    }

    @Test
    void aDamagedExportAddsNothing() throws IOException, InputException {
        registry.add(Entries.of("a", "r1", 5.25));
        registry.add(Entries.of("b", "r1", 6.25));
        export("out", Dates.DROP);
        Path table = folder.resolve("out/measurements.csv");
        String whole = Files.readString(table);
        try (Registry pooled = Registry.open(folder.resolve("pooled").toString(), true)) {
            for (String damaged : List.of(
                    whole.replace("6.25", "NaN"),
                    whole.replace("6.25", "six"),
                    whole.replace("7.25", "-7.25"),
                    whole.replaceFirst("not measured", "ok"),
                    whole.replaceFirst("lesion/volume", "no/such"))) {
                Files.writeString(table, damaged);
                assertDamaged(pooled, "was changed");
                ExportFolder.writeChecksums(folder.resolve("out"));
                assertDamaged(pooled, "measurements.csv: set ");
            }
            Files.writeString(table, whole.substring(0, whole.length() - 20));
            assertDamaged(pooled, "was changed");
            Files.delete(table);
            assertDamaged(pooled, "is missing");
            assertThat(Entries.in(pooled)).isEmpty();
        }
    }

    private void assertDamaged(Registry pooled, String message) {
        assertThatThrownBy(() -> merge(pooled, "out"))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("measurements.csv")
                .hasMessageContaining(message);
    }

    @Test
    void oneColumnOfTwoMeaningsIsNotExportedTogether() throws IOException, InputException {
        registry.add(Entries.of("a", "r1", 5.25));
        registry.add(Entries.with(
                Entries.of("b", "r1", 5.25), new Origin("Leiogauge 0.2.0", "x: 1\n"), Entries.values(5.25, "cm3")));
        assertThatThrownBy(() -> export("out", Dates.DROP))
                .isInstanceOf(InputException.class)
                .hasMessageContaining(
                        "column lesion/volume: found several definitions, of Leiogauge 0.1.0 and Leiogauge 0.2.0");
        ExportFolder.Result one = ExportFolder.write(
                registry,
                new ExportFolder.Options(Dates.DROP, Optional.of("Leiogauge 0.2.0"), 5),
                folder.resolve("out"));
        assertThat(one.measurements()).isEqualTo(1);
    }

    // Oracle: counted by hand, 4 benign and 5 malignant cases of one site and age band, one with two readers.
    @Test
    void smallGroupsAreWarnedOf() throws IOException, InputException {
        for (int i = 0; i < 4; i++) registry.add(Entries.of("b" + i, "r1", i));
        registry.add(Entries.of("b0", "r2", 8));
        for (int i = 0; i < 5; i++)
            registry.add(Entries.with(Entries.of("m" + i, "r1", i), new Outcome("malignant", "", "")));
        assertThat(export("out", Dates.DROP).warnings())
                .containsExactly("site-1, 45-49, benign, leiomyoma: 4 of at least 5 cases");
    }

    private ExportFolder.Result export(String name, Dates dates) throws InputException, IOException {
        return ExportFolder.write(registry, new ExportFolder.Options(dates, Optional.empty(), 5), folder.resolve(name));
    }

    private List<Change> merge(Registry into, String name) throws InputException, IOException {
        List<Change> changes = new ArrayList<>();
        ExportedFolder.forEach(
                folder.resolve(name), entry -> changes.add(into.add(entry).change()));
        return changes;
    }
}
