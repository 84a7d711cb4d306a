// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.ServiceLoader;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.cohort.CaseRunner;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.table.CsvTable;

/** From a manifest to a pooled registry, by the commands alone. */
class CohortCommandTest {
    private static final Grid GRID =
            new Grid(new Size(8, 7, 6), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));

    @TempDir
    Path folder;

    @Test
    void aManifestBecomesTablesARegistryAnExportAndAPool() throws Exception {
        writeStudy("one", 1);
        writeStudy("two", 2);
        Files.writeString(
                folder.resolve("one.yaml"),
                "case: c1\nlesion: L2\noutline: {reader: r1}\noutcome: {histology: leiomyoma}\n"
                        + "impression: {border: well-defined, concern: 2, locked: 2026-03-02T10:20:00}\n");
        Files.writeString(
                folder.resolve("manifest.csv"),
                "case,study,outline,case-file,reader,site,outcome\n"
                        + "c1,one,one/lesion.nii.gz,one.yaml,r1,s1,benign\n"
                        + "c2,two,two/lesion.nii.gz,,r1,s2,malignant\n"
                        + "c3,two,two/lesion.nii.gz,one.yaml,r1,s2,malignant\n"
                        + "c4,gone,two/lesion.nii.gz,,r1,s2,malignant\n");
        CommandRun cohort = CommandRun.of(
                "cohort", at("manifest.csv"), "--out", at("out"), "--set", "features.families=[intensity]");
        assertThat(cohort.exit()).isEqualTo(1);
        CsvTable failures = CsvTable.read(folder.resolve("out/failures.csv"));
        assertThat(failures.rows().get(0).get(6)).contains("key case: found c1, expected c3, as the manifest says");
        assertThat(failures.rows().get(1).get(6)).contains("manifest.csv: line 5, column study: found");
        assertThat(cohort.err()).contains("2 of 4 cases failed");
        assertThat(CommandRun.of("registry", "add", "--db", at("cases"), at("out"), "--case", at("one.yaml")))
                .isEqualTo(new CommandRun(0, "2 added, 0 there already, 0 in conflict\n", ""));
        assertThat(CommandRun.of("registry", "add", "--db", at("cases"), at("out"), "--case", at("one.yaml"))
                        .out())
                .isEqualTo("0 added, 2 there already, 0 in conflict\n");
        CommandRun list = CommandRun.of("registry", "list", "--db", at("cases"));
        assertThat(list.out().lines().skip(1).toList().get(0)).startsWith("c1,L2,r1,s1,benign,Leiogauge 0.1.0,");
        CommandRun export = CommandRun.of("registry", "export", "--db", at("cases"), "--out", at("export"));
        assertThat(export.exit()).as(export.toString()).isZero();
        for (int time = 0; time < 2; time++)
            assertThat(CommandRun.of("registry", "merge", "--db", at("pool"), at("export"))
                            .out())
                    .isEqualTo(
                            time == 0
                                    ? "2 added, 0 there already, 0 in conflict\n"
                                    : "0 added, 2 there already, 0 in conflict\n");
    }

    @Test
    void conflictsAreListedAndTheExitCodeSaysSo() throws Exception {
        writeStudy("one", 1);
        assertThat(CommandRun.of(
                                "measure",
                                at("one"),
                                "--outline",
                                at("one/lesion.nii.gz"),
                                "--out",
                                at("measured"),
                                "--set",
                                "features.families=[intensity]")
                        .exit())
                .isZero();
        assertThat(CommandRun.of("registry", "add", "--db", at("cases"), at("measured"), "--outcome", "benign")
                        .exit())
                .isZero();
        CommandRun again =
                CommandRun.of("registry", "add", "--db", at("cases"), at("measured"), "--outcome", "malignant");
        assertThat(again.exit()).isEqualTo(1);
        assertThat(again.err()).startsWith("conflict: case ").contains("outcome is benign, not malignant");
        assertThat(again.out()).isEqualTo("0 added, 0 there already, 1 in conflict\n");
    }

    @Test
    void whatCannotBeUsedIsSaidInOneLineWithExitCode2() throws IOException {
        Files.writeString(folder.resolve("manifest.csv"), "case,study,outline\na,none\n");
        for (List<String> arguments : List.of(
                List.of("cohort", at("none.csv"), "--out", at("out")),
                List.of("cohort", at("manifest.csv"), "--out", at("out")),
                List.of("cohort", at("manifest.csv"), "--out", at("out"), "--runner", "cloud"),
                List.of("registry", "list", "--db", at("none")),
                List.of("registry", "export", "--db", at("none"), "--out", at("out")),
                List.of("registry", "add", "--db", at("new"), at("none")),
                List.of("registry", "merge", "--db", at("new"), at("none")))) {
            CommandRun run = CommandRun.of(arguments.toArray(String[]::new));
            assertThat(run.exit()).as(arguments.toString()).isEqualTo(2);
            assertThat(run.err().strip().lines()).as(arguments.toString()).hasSize(1);
        }
        assertThat(CommandRun.of("cohort", at("manifest.csv"), "--out", at("out"), "--memory-budget", "lots")
                        .err())
                .contains("--memory-budget: found lots, expected a size of memory, as 900m or 4g");
        assertThat(folder.resolve("out")).doesNotExist();
    }

    @Test
    void badManifestsAreRefusedWithLineAndColumn() throws IOException {
        writeStudy("one", 1);
        expectRefusal(
                "line 3, column case: found a by reader '' again, as in line 2",
                "case,study,outline\n" + "a,one,one/lesion.nii.gz\na,one,one/lesion.nii.gz\n");
        expectRefusal("header: found no column outline", "case,study\na,one\n");
        expectRefusal("header: found the unknown column age", "case,study,outline,age\na,one,one/lesion.nii.gz,40\n");
        expectRefusal("line 2, column case: found nothing", "case,study,outline\n,one,one/lesion.nii.gz\n");
        expectRefusal("line 2, column reader: found ../r", "case,study,outline,reader\na,one,one/lesion.nii.gz,../r\n");
        expectRefusal("found no row below the header", "case,study,outline\n");
    }

    private void expectRefusal(String message, String manifest) throws IOException {
        Files.writeString(folder.resolve("bad.csv"), manifest);
        CommandRun run = CommandRun.of("cohort", at("bad.csv"), "--out", at("bad"));
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err()).contains("bad.csv: ").contains(message);
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(folder.resolve("bad")).doesNotExist();
    }

    // Where the runner is on the class path this says nothing.
    @Test
    void withoutItsJarTheRunnerOnSparkIsRefusedWithTheWayToGetIt() throws IOException {
        assumeTrue(ServiceLoader.load(CaseRunner.class).findFirst().isEmpty(), "skipped: the runner on Spark is here");
        Files.writeString(folder.resolve("manifest.csv"), "case,study,outline\na,none,none\n");
        CommandRun run = CommandRun.of("cohort", at("manifest.csv"), "--out", at("out"), "--runner", "spark");
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err())
                .isEqualTo("--runner: found spark, and no runner for it in this jar, expected leiogauge-spark.jar,"
                        + " which mvn -Pspark -DskipTests package makes; see docs/scale.md\n");
    }

    // The time that is left is told in the unit that suits it.
    @Test
    void timeLeftIsToldInWords() {
        assertThat(ProgressLine.words(59.6)).isEqualTo("60 s");
        assertThat(ProgressLine.words(600)).isEqualTo("10 min");
        assertThat(ProgressLine.words(7200)).isEqualTo("2 h");
    }

    private String at(String name) {
        return folder.resolve(name).toString();
    }

    private void writeStudy(String name, int seed) throws IOException {
        Path study = Files.createDirectory(folder.resolve(name));
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = i * seed % 17;
        NiftiWriter.write(study.resolve("t2.nii.gz"), new Volume(GRID, voxels));
        Files.writeString(study.resolve("study.yaml"), "series:\n  - {file: t2.nii.gz, role: t2}\n");
        byte[] inside = new byte[voxels.length];
        Arrays.fill(inside, 100, 200, (byte) 1);
        NiftiWriter.write(study.resolve("lesion.nii.gz"), new Mask(GRID, inside));
    }
}
