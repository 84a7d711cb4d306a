// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.BasicFileAttributes;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Objects;
import java.util.Optional;
import java.util.Set;
import java.util.SplittableRandom;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Workers;

class CohortTest {
    @TempDir
    static Path shared;

    private static Path manifest;
    private static Path whole;
    private static Cohort.Result wholeResult;

    @TempDir
    Path folder;

    @BeforeAll
    static void runWithoutAStop() throws IOException, InputException {
        manifest = TinyCohort.write(shared, 4, true);
        whole = shared.resolve("whole");
        wholeResult = TinyCohort.run(manifest, whole, false, 1);
    }

    @Test
    void oneBadCaseIsARowOfTheFailuresAndStopsNothing() throws InputException {
        assertThat(wholeResult).isEqualTo(new Cohort.Result(8, 2, 0));
        CsvTable failures = CsvTable.read(whole.resolve("failures.csv"));
        assertThat(failures.rows()).hasSize(2);
        assertThat(failures.rows().get(0).subList(0, 2)).containsExactly("6", "broken");
        assertThat(failures.rows().get(0).get(6)).contains("reader-1.nii.gz");
        assertThat(CsvTable.read(whole.resolve("features-wide.csv")).rows()).hasSize(6);
    }

    // Oracle: a run in which every study was there from the beginning.
    @Test
    void aStudyThatWasNotThereIsMeasuredOnResumingOnceItIs() throws InputException, IOException {
        Path cases = TinyCohort.write(folder, 2, false);
        Path study = folder.resolve("case-1");
        Files.move(study, folder.resolve("elsewhere"));
        Path out = folder.resolve("out");
        assertThat(TinyCohort.run(cases, out, false, 2)).isEqualTo(new Cohort.Result(4, 2, 0));
        Files.move(folder.resolve("elsewhere"), study);
        assertThat(TinyCohort.run(cases, out, true, 2)).isEqualTo(new Cohort.Result(4, 0, 2));
        TinyCohort.run(cases, folder.resolve("again"), false, 1);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(folder.resolve("again")));
    }

    // Oracle: the same case measured on its own.
    @Test
    void rowsAreThoseOfTheCaseMeasuredOnItsOwn() throws InputException, IOException {
        Path study = shared.resolve("case-1");
        CaseMeasurement.run(
                new CaseRequest(
                        study,
                        study.resolve("reader-2.nii.gz"),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty(),
                        TinyCohort.quickSettings(),
                        "test",
                        List.of()),
                folder.resolve("alone"),
                Workers.SINGLE,
                Progress.NONE);
        List<LesionRow> alone = LesionTable.readTidy(folder.resolve("alone/features.csv"));
        List<LesionRow> together = LesionTable.readTidy(whole.resolve("readers/reader-2.csv")).stream()
                .filter(row -> row.caseName().equals("case-1"))
                .toList();
        assertThat(together)
                .extracting(LesionRow::value)
                .isEqualTo(alone.stream().map(LesionRow::value).toList());
        assertThat(together).isNotEmpty();
    }

    @Test
    void wideTableHasARowPerCaseAndReaderThatCanBeDiscriminated() throws InputException {
        CsvTable wide = CsvTable.read(whole.resolve("features-wide.csv"));
        assertThat(wide.rows().get(3).subList(0, 5)).containsExactly("case-1", "L1", "reader-2", "site-1", "malignant");
        OutcomeTable outcomes = OutcomeTable.read(
                whole.resolve("features-wide.csv"), "outcome", Optional.of("malignant"), Optional.empty());
        assertThat(outcomes.features()).contains("lesion/t2/intensity-based-statistics/mean-intensity/volume");
        assertThat(outcomes.cases().positive()).containsExactly(false, false, true, true, true, true);
    }

    @Test
    void bytesDoNotDependOnThreadsOrTheMemoryBudget() throws IOException, InputException {
        TinyCohort.run(manifest, folder.resolve("three"), false, 3);
        assertThat(TinyCohort.bytes(folder.resolve("three"))).isEqualTo(TinyCohort.bytes(whole));
    }

    // Oracle: the run without a stop, byte for byte. Each damage is one that a stop or a bad disk may leave.
    @Test
    void resumedAfterAnyDamageTheFolderIsThatOfARunWithoutAStop() throws IOException, InputException {
        Path out = folder.resolve("damaged");
        TinyCohort.run(manifest, out, false, 2);
        SplittableRandom random = new SplittableRandom(9);
        for (int draw = 0; draw < 12; draw++) {
            List<Path> files = Disk.files(out.resolve("cases"));
            damage(files.get(random.nextInt(files.size())), draw % 3, random);
            Files.createDirectories(out.resolve("cases/.3/figures"));
            Files.writeString(out.resolve(".features.csv.new"), "half");
            Files.deleteIfExists(out.resolve("features.csv"));
            TinyCohort.run(manifest, out, true, 2);
            assertThat(TinyCohort.bytes(out)).as("draw %d", draw).isEqualTo(TinyCohort.bytes(whole));
        }
    }

    private static void damage(Path file, int kind, SplittableRandom random) throws IOException {
        byte[] bytes = Files.readAllBytes(file);
        if (kind == 0) Files.delete(file);
        else if (kind == 1) Files.write(file, Arrays.copyOf(bytes, random.nextInt(bytes.length)));
        else {
            Path table = file.getParent().resolve("features.csv");
            Path target =
                    Files.exists(table) ? table : file.getParent().getParent().resolve("features.csv");
            byte[] flipped = Files.readAllBytes(target);
            flipped[random.nextInt(flipped.length)] ^= 0x10;
            Files.write(target, flipped);
        }
    }

    @Test
    void everyTruncationOfTheListOfFilesIsSeen() throws IOException {
        Path finished;
        try (var cases = Files.list(whole.resolve("cases"))) {
            finished = cases.sorted().toList().get(0);
        }
        assertThat(FinishedCase.is(finished)).isTrue();
        Path copy = Files.createDirectories(folder.resolve("case"));
        for (Path file : Disk.files(finished)) {
            Path to = copy.resolve(finished.relativize(file).toString());
            Files.createDirectories(to.getParent());
            Files.copy(file, to);
        }
        byte[] list = Files.readAllBytes(copy.resolve(FinishedCase.LIST));
        for (int length = 0; length < list.length; length++) {
            Files.write(copy.resolve(FinishedCase.LIST), Arrays.copyOf(list, length));
            assertThat(FinishedCase.is(copy))
                    .as("%d of %d bytes", length, list.length)
                    .isFalse();
        }
        Files.write(copy.resolve(FinishedCase.LIST), list);
        assertThat(FinishedCase.is(copy)).isTrue();
    }

    @Test
    void resumingMeasuresOnlyWhatIsNotFinished() throws IOException, InputException {
        Path out = folder.resolve("again");
        TinyCohort.run(manifest, out, true, 2);
        WholeFolder.delete(out.resolve("cases/00002-case-0"));
        List<Integer> measured = new ArrayList<>();
        TinyCohort.run(manifest, out, true, 1, TinyCohort.quickSettings(), new Recording(measured));
        // 5 and 6 are the broken ones, tried again
        assertThat(measured).containsExactly(2, 5, 6);
    }

    @Test
    void theLargestStudyIsMeasuredFirst() throws IOException, InputException {
        Path list = TinyCohort.write(folder, 3, false);
        Files.write(folder.resolve("case-1/notes.bin"), new byte[1 << 20]);
        Files.write(folder.resolve("case-2/notes.bin"), new byte[3 << 20]);
        Path out = folder.resolve("out");
        List<Set<String>> finished = new ArrayList<>();
        Progress progress = fraction -> finished.add(names(out.resolve("cases")));
        TinyCohort.run(list, out, false, 1, TinyCohort.quickSettings(), new LocalRunner(), progress);
        assertThat(finished.get(1)).containsExactly("00005-case-2", "00006-case-2");
        assertThat(finished.get(3)).hasSize(4).contains("00003-case-1", "00004-case-1");
        assertThat(finished.get(5)).hasSize(6);
    }

    private static Set<String> names(Path folder) {
        try (Stream<Path> inside = Files.list(folder)) {
            return inside.map(file -> file.getFileName().toString()).collect(Collectors.toCollection(TreeSet::new));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    // A file that is written again is another one, of the same name.
    @Test
    void withNothingLeftToDoTheTablesThatStandAreNotWrittenAgain() throws IOException, InputException {
        Path out = folder.resolve("finished");
        Cohort.Result first = TinyCohort.run(manifest, out, false, 2);
        Map<String, Object> before = keys(out);
        assumeTrue(before.values().stream().noneMatch("none"::equals), "skipped: this disk does not number its files");
        Cohort.Result second = TinyCohort.run(manifest, out, true, 2);
        assertThat(keys(out)).isEqualTo(before);
        assertThat(second).isEqualTo(new Cohort.Result(first.cases(), first.failed(), 6));
    }

    private static Map<String, Object> keys(Path out) throws IOException {
        Map<String, Object> keys = new TreeMap<>();
        for (Path table : tables(out)) {
            Object key = Files.readAttributes(table, BasicFileAttributes.class).fileKey();
            keys.put(out.relativize(table).toString(), Objects.requireNonNullElse(key, "none"));
        }
        return keys;
    }

    private static List<Path> tables(Path out) throws IOException {
        return Disk.files(out).stream()
                .filter(file -> !file.startsWith(out.resolve("cases")))
                .filter(file -> !List.of(".lock", RunFile.NAME)
                        .contains(file.getFileName().toString()))
                .toList();
    }

    // Oracle: the run without a stop, byte for byte.
    @Test
    void aTableThatIsGoneCutOrDamagedIsWrittenAgain() throws IOException, InputException {
        Path out = folder.resolve("tables");
        TinyCohort.run(manifest, out, false, 2);
        assertThat(tables(out)).hasSize(8);
        SplittableRandom random = new SplittableRandom(10);
        for (Path table : tables(out))
            for (int kind = 0; kind < 3; kind++) {
                byte[] bytes = Files.readAllBytes(table);
                int at = random.nextInt(bytes.length);
                if (kind == 0) Files.delete(table);
                else if (kind == 1) Files.write(table, Arrays.copyOf(bytes, at));
                else {
                    bytes[at] ^= 0x10;
                    Files.write(table, bytes);
                }
                TinyCohort.run(manifest, out, true, 1 + kind);
                assertThat(TinyCohort.bytes(out)).as("%s, kind %d", table, kind).isEqualTo(TinyCohort.bytes(whole));
            }
    }

    @Test
    void whatAKilledRunLeftHalfWrittenGoesThoughTheTablesStand() throws IOException, InputException {
        Path out = folder.resolve("left");
        TinyCohort.run(manifest, out, false, 2);
        for (String half : List.of(
                ".features.csv.new", ".tables.txt.new", "readers/.reader-1.csv.new", ".run.yaml.new", ".77.part"))
            Files.writeString(out.resolve(half), "half");
        Files.createDirectories(out.resolve("cases/.3/figures"));
        TinyCohort.run(manifest, out, true, 2);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(whole));
    }

    // Oracle: the case's own tables, changed by hand, and the run without a stop when they are changed back.
    @Test
    void aCaseThatChangedChangesTheTables() throws IOException, InputException {
        Path out = folder.resolve("changed");
        TinyCohort.run(manifest, out, false, 2);
        Path one = out.resolve("cases/00004-case-1");
        List<LesionRow> rows = LesionTable.readTidy(one.resolve("features.csv"));
        LesionRow first = rows.get(0);
        Measurement value = new Measurement.Measured(4711.25);
        List<LesionRow> other = new ArrayList<>(rows);
        other.set(
                0,
                new LesionRow(
                        first.caseName(),
                        first.lesion(),
                        first.region(),
                        first.series(),
                        new FeatureValue(
                                first.value().definition(), first.value().aggregation(), value),
                        first.interval(),
                        first.caution()));
        replace(one, other);
        TinyCohort.run(manifest, out, true, 2);
        for (String table : List.of("features.csv", "readers/reader-2.csv", "features-wide.csv")) {
            List<String> lines = Files.readAllLines(out.resolve(table));
            List<String> before = Files.readAllLines(whole.resolve(table));
            assertThat(lines).hasSameSizeAs(before);
            assertThat(lines.stream().filter(line -> !before.contains(line)))
                    .as(table)
                    .singleElement()
                    .asString()
                    .contains("4711.25");
        }
        assertThat(Checksum.of(out.resolve("features.parquet")))
                .isNotEqualTo(Checksum.of(whole.resolve("features.parquet")));
        replace(one, rows);
        TinyCohort.run(manifest, out, true, 2);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(whole));
    }

    private static void replace(Path one, List<LesionRow> rows) throws IOException {
        Path unnamed = one.resolveSibling("." + one.getFileName());
        Files.move(one, unnamed);
        Files.delete(unnamed.resolve(FinishedCase.LIST));
        LesionTable.writeTidy(unnamed.resolve("features.csv"), rows);
        LesionTable.writeWide(unnamed.resolve("features-wide.csv"), rows);
        FinishedCase.seal(unnamed, one);
    }

    // Oracle: DuckDB 1.4.4 reads both.
    @Test
    void theParquetTableHoldsWhatTheCsvHolds() throws SQLException {
        String all = "SELECT * FROM read_csv('" + whole.resolve("features.csv")
                + "', header = true, all_varchar = true, nullstr = '', force_not_null = ['lesion'])";
        try (Connection duck = DriverManager.getConnection("jdbc:duckdb:");
                Statement statement = duck.createStatement()) {
            statement.execute("CREATE TABLE csv AS " + all);
            statement.execute(
                    "CREATE TABLE parquet AS SELECT * FROM read_parquet('" + whole.resolve("features.parquet") + "')");
            List<String> equal = new ArrayList<>();
            try (ResultSet columns = statement.executeQuery("DESCRIBE parquet")) {
                while (columns.next()) {
                    String name = '"' + columns.getString(1) + '"';
                    equal.add(
                            columns.getString(2).equals("DOUBLE")
                                    ? "TRY_CAST(c." + name + " AS DOUBLE) IS NOT DISTINCT FROM p." + name
                                    : "coalesce(c." + name + ", '') = p." + name);
                }
            }
            assertThat(equal).hasSize(17);
            try (ResultSet counts = statement.executeQuery("SELECT (SELECT count(*) FROM csv), (SELECT count(*) FROM"
                    + " parquet), count(*) FROM csv c POSITIONAL JOIN parquet p WHERE "
                    + String.join(" AND ", equal))) {
                counts.next();
                assertThat(counts.getLong(1)).isPositive();
                assertThat(counts.getLong(2)).isEqualTo(counts.getLong(1));
                assertThat(counts.getLong(3)).isEqualTo(counts.getLong(1));
            }
        }
    }

    private record Recording(List<Integer> measured) implements CaseRunner {
        @Override
        public String name() {
            return "recording";
        }

        @Override
        public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
                throws IOException {
            jobs.forEach(job -> measured.add(job.number()));
            return new LocalRunner().run(jobs, workers, memoryBytes, progress);
        }
    }

    @Test
    void aRunIsNotContinuedWithOtherSettingsManifestOrByMistake() throws IOException, InputException {
        Map<String, String> before = TinyCohort.bytes(whole);
        assertThatThrownBy(() -> TinyCohort.run(manifest, whole, false, 1))
                .isInstanceOf(InputException.class)
                .hasMessageEndingWith("found a run, expected another folder, or --resume to continue this one");
        assertThatThrownBy(() -> TinyCohort.run(
                        manifest,
                        whole,
                        true,
                        1,
                        SettingsFile.read(Optional.empty(), List.of("features.families=[shape]")),
                        new LocalRunner()))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("run.yaml: key settings: found changed settings");
        Path changed = shared.resolve("changed.csv");
        Files.writeString(changed, Files.readString(manifest).replace("site-0", "site-9"));
        assertThatThrownBy(() -> TinyCohort.run(changed, whole, true, 1))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("run.yaml: key manifest: found a changed manifest");
        assertThat(TinyCohort.bytes(whole)).isEqualTo(before);
    }

    @Test
    void aFolderWithSomethingElseInItIsRefused() throws IOException {
        Files.writeString(folder.resolve("notes.txt"), "mine");
        assertThatThrownBy(() -> TinyCohort.run(manifest, folder, true, 1))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("notes.txt");
    }

    @Test
    void twoRunsInOneFolderAtOnceAreRefused() throws IOException, InputException {
        Path out = folder.resolve("one");
        CaseRunner inside = new CaseRunner() {
            @Override
            public String name() {
                return "inside";
            }

            @Override
            public List<CaseResult> run(List<CaseJob> jobs, Workers workers, long memory, Progress progress)
                    throws IOException {
                assertThatThrownBy(() -> TinyCohort.run(manifest, out, true, 1))
                        .isInstanceOf(InputException.class)
                        .hasMessageContaining("another run at work");
                return new LocalRunner().run(jobs, workers, memory, progress);
            }
        };
        TinyCohort.run(manifest, out, false, 2, TinyCohort.quickSettings(), inside);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(whole));
    }
}
