// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
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
        else if (kind == 1) Files.write(file, java.util.Arrays.copyOf(bytes, random.nextInt(bytes.length)));
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
            Files.write(copy.resolve(FinishedCase.LIST), java.util.Arrays.copyOf(list, length));
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
