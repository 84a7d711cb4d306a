// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.spark;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.ServiceLoader;
import java.util.TreeMap;
import java.util.concurrent.CancellationException;
import org.apache.hadoop.conf.Configuration;
import org.apache.spark.sql.Dataset;
import org.apache.spark.sql.Row;
import org.apache.spark.sql.SparkSession;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.cohort.CaseJob;
import org.leiogauge.cohort.CaseRunner;
import org.leiogauge.cohort.Cohort;
import org.leiogauge.cohort.CohortManifest;
import org.leiogauge.cohort.LocalRunner;
import org.leiogauge.cohort.TinyCohort;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Oracle throughout: the local runner on the same cohort, one of whose cases is broken. */
class SparkRunnerTest {
    private static final List<String> TABLES = List.of(
            "features.csv",
            "features.parquet",
            "features-wide.csv",
            "dictionary.csv",
            "readers/reader-1.csv",
            "run.yaml");

    @TempDir
    static Path shared;

    private static Path manifest;
    private static Path local;

    @TempDir
    Path folder;

    @BeforeAll
    static void runLocally() throws Exception {
        manifest = TinyCohort.write(shared, 4, true);
        local = shared.resolve("local");
        TinyCohort.run(manifest, local, false, 1);
    }

    @Test
    void theCommandFindsTheRunnerByItsName() {
        assertThat(ServiceLoader.load(CaseRunner.class))
                .extracting(CaseRunner::name)
                .containsExactly("spark");
    }

    @Test
    void everyFileIsThatOfTheLocalRunnerByteForByte() throws Exception {
        Path out = folder.resolve("spark");
        Cohort.Result result = TinyCohort.run(manifest, out, false, 2, TinyCohort.quickSettings(), new SparkRunner());
        assertThat(result).isEqualTo(new Cohort.Result(8, 2, 0));
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(local));
    }

    @Test
    void whatOneRunnerBeganTheOtherFinishes() throws Exception {
        Path out = folder.resolve("both");
        CaseRunner half = new CaseRunner() {
            @Override
            public String name() {
                return "half";
            }

            @Override
            public List<org.leiogauge.cohort.CaseResult> run(
                    List<CaseJob> jobs, Workers workers, long memoryBytes, Progress progress)
                    throws java.io.IOException {
                new LocalRunner().run(jobs.subList(0, 3), workers, memoryBytes, progress);
                throw new java.io.IOException("stopped");
            }
        };
        assertThatThrownBy(() -> TinyCohort.run(manifest, out, false, 1, TinyCohort.quickSettings(), half))
                .hasMessage("stopped");
        Cohort.Result result = TinyCohort.run(manifest, out, true, 2, TinyCohort.quickSettings(), new SparkRunner());
        assertThat(result.kept()).isEqualTo(3);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(local));
    }

    @Test
    void whoStopsTheRunHearsThatItIsStopped() {
        Progress stop = fraction -> {
            throw new CancellationException("stopped");
        };
        assertThatThrownBy(() -> {
                    try (Workers workers = Workers.of(1)) {
                        Cohort.run(
                                CohortManifest.read(manifest),
                                new Cohort.Options(
                                        folder.resolve("stopped"),
                                        false,
                                        new SparkRunner(),
                                        1L << 30,
                                        TinyCohort.quickSettings(),
                                        "Leiogauge 0.1.0"),
                                workers,
                                stop);
                    }
                })
                .isInstanceOf(CancellationException.class)
                .hasMessage("stopped");
    }

    // Hadoop's file system for local files stands for all of them: every byte comes through its interface.
    @Test
    void manifestAndStudiesOnAHadoopFileSystemGiveTheSameTables() throws Exception {
        Path out = folder.resolve("hadoop");
        SparkRunner runner = new SparkRunner();
        CohortManifest there = runner.manifest(manifest.toUri().toString());
        assertThat(there.cases().get(0).study().toString()).startsWith("file:/");
        try (Workers workers = Workers.of(2)) {
            Cohort.run(
                    there,
                    new Cohort.Options(out, false, runner, 1L << 30, TinyCohort.quickSettings(), "Leiogauge 0.1.0"),
                    workers,
                    Progress.NONE);
        }
        assertThat(tables(out)).isEqualTo(tables(local)).hasSize(TABLES.size());
        String reason = CsvTable.read(out.resolve("failures.csv")).rows().get(0).get(6);
        assertThat(reason).startsWith("file:/").contains("/broken/reader-1.nii.gz: ");
    }

    @Test
    void aManifestThatIsNotThereIsAnInputErrorInOneLine() {
        String nowhere = folder.resolve("none.csv").toUri().toString();
        assertThatThrownBy(() -> new SparkRunner().manifest(nowhere))
                .isInstanceOf(InputException.class)
                .hasMessageStartingWith(nowhere + ": found ")
                .hasMessageEndingWith("expected a manifest that Hadoop can read");
        assertThatThrownBy(() -> new SparkRunner().manifest("nosuchscheme://host/cases.csv"))
                .isInstanceOf(InputException.class);
    }

    // A machine that does not see the cohort's folder sends the case's folder instead.
    @Test
    void aCaseMeasuredElsewhereArrivesWhole() throws Exception {
        CaseJob job = job(2, folder.resolve("cases"));
        Files.createDirectories(job.cases());
        Errand.Answer answer = Errand.of(job, true).run(common(1L << 20), new Configuration());
        assertThat(answer.result().failure()).isEmpty();
        assertThat(job.folder()).doesNotExist();
        Packed.unpack(answer.packed(), job.cases().resolve(".2"));
        job.keep(job.cases().resolve(".2"));
        assertThat(TinyCohort.bytes(job.folder()))
                .isEqualTo(TinyCohort.bytes(local.resolve("cases/00002-case-0")))
                .isNotEmpty();
    }

    @Test
    void aStudyBeyondTheBoundFailsAloneAndLeavesNothingBehind() throws Exception {
        CohortManifest there = new SparkRunner().manifest(manifest.toUri().toString());
        CaseJob job =
                new CaseJob(folder.resolve("cases"), 1, there.cases().get(0), TinyCohort.quickSettings(), "Leiogauge");
        Errand.Answer answer = Errand.of(job, true).run(common(100), new Configuration());
        assertThat(answer.result().failure()).hasValueSatisfying(reason -> assertThat(reason)
                .startsWith("cannot be copied: ")
                .endsWith("it is more than 100 bytes, the most that are copied"));
        assertThat(answer.packed()).isEmpty();
    }

    // Oracle: the table as CSV.
    @Test
    void sparkReadsTheParquetTable() throws Exception {
        CsvTable csv = CsvTable.read(local.resolve("features.csv"));
        try (SparkSession spark = SparkSession.builder()
                .master("local[1]")
                .config("spark.ui.enabled", "false")
                .config("spark.driver.host", "127.0.0.1")
                .config("spark.log.level", "ERROR")
                .getOrCreate()) {
            Dataset<Row> table =
                    spark.read().parquet(local.resolve("features.parquet").toString());
            assertThat(table.columns()).containsExactlyElementsOf(csv.columns());
            List<Row> rows = table.collectAsList();
            assertThat(rows).hasSameSizeAs(csv.rows());
            for (int i = 0; i < rows.size(); i++)
                for (int c = 0; c < csv.columns().size(); c++)
                    assertThat(text(rows.get(i).get(c)))
                            .isEqualTo(csv.rows().get(i).get(c));
        }
    }

    private static String text(Object cell) {
        return cell == null ? "" : cell.toString();
    }

    private static CaseJob job(int number, Path cases) throws InputException {
        return new CaseJob(
                cases,
                number,
                CohortManifest.read(manifest).cases().get(number - 1),
                TinyCohort.quickSettings(),
                "Leiogauge 0.1.0");
    }

    private Errand.Common common(long stagedBytes) throws InputException {
        return new Errand.Common(
                SettingsFile.text(TinyCohort.quickSettings()),
                "Leiogauge 0.1.0",
                folder.resolve("not-shared").toString(),
                ".none",
                1L << 30,
                stagedBytes);
    }

    private static Map<String, String> tables(Path out) throws Exception {
        Map<String, String> tables = new TreeMap<>(TinyCohort.bytes(out));
        tables.keySet().retainAll(TABLES);
        return tables;
    }
}
