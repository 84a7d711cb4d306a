// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiWriter;

/** The place that gets results: what stays there, and what is said where nothing can be written. */
class ResultFolderTest {
    private static final Grid GRID =
            new Grid(new Size(8, 7, 6), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(10, 20, 30));

    @TempDir
    Path folder;

    @BeforeEach
    void study() throws IOException {
        float[] voxels = new float[GRID.size().voxels()];
        byte[] lesion = new byte[voxels.length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = i % 17;
        for (int i = 100; i < 160; i++) lesion[i] = 1;
        Path study = Files.createDirectory(folder.resolve("study"));
        NiftiWriter.write(study.resolve("t1.nii.gz"), new Volume(GRID, voxels));
        Files.writeString(study.resolve("study.yaml"), "series:\n  - {file: t1.nii.gz, role: t1}\n");
        NiftiWriter.write(folder.resolve("lesion.nii.gz"), new Mask(GRID, lesion));
    }

    // Oracle: the same run into a new folder.
    @Test
    void noPictureOfAFormerRunStaysBesideNewNumbers() throws IOException {
        assertThat(measure(folder.resolve("new")).exit()).isZero();
        Path used = folder.resolve("used");
        Files.createDirectories(used.resolve("figures"));
        for (String name : List.of("figures/outline-slice-99.png", "figures/notes.txt", "notes.txt"))
            Files.writeString(used.resolve(name), "of before");
        assertThat(measure(used).exit()).isZero();
        assertThat(names(used.resolve("figures"), ".png")).isEqualTo(names(folder.resolve("new/figures"), ".png"));
        assertThat(used.resolve("figures/notes.txt")).hasContent("of before");
        assertThat(used.resolve("notes.txt")).hasContent("of before");
    }

    // The table cannot know whether the series or their noise was missing; it must not say the one for the other.
    @Test
    void enhancementThatWasNotMeasuredIsNotPutDownToMissingSeriesAlone() throws IOException {
        assertThat(measure(folder.resolve("out")).exit()).isZero();
        assertThat(folder.resolve("out/features.csv"))
                .content()
                .contains("no series before and after contrast, or none that could be measured (log, decisions)");
    }

    @Test
    void theDemoKeepsAnImpressionAddedToItsCaseFile() throws IOException {
        Path caseFile = folder.resolve("demo/demo-case/case.yaml");
        Files.createDirectories(caseFile.getParent());
        String changed = Files.readString(Path.of("test-images/demo/case.yaml")) + "impression: {concern: 2}\n";
        Files.writeString(caseFile, changed);
        CommandRun run = CommandRun.of("demo", "--out", folder.resolve("demo").toString());
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err())
                .isEqualToIgnoringNewLines(caseFile + ": found a case file that was changed, which the demo would"
                        + " replace, expected none: move it away, or give another folder by --out");
        assertThat(caseFile).hasContent(changed);
        assertThat(names(caseFile.getParent(), "")).containsExactly("case.yaml");
        assertThat(names(folder.resolve("demo"), "")).containsExactly("demo-case");
    }

    // The study is no study either: what is said shows which was looked at first.
    @Test
    void aPlaceThatCannotBeWrittenIsSaidBeforeTheWork() throws IOException {
        Path file = Files.createFile(folder.resolve("notes.txt"));
        String out = file.resolve("out.nii").toString();
        String none = folder.resolve("none").toString();
        for (List<String> arguments : List.of(
                List.of("measure", none, "--outline", none, "--out", out),
                List.of("outline", none, "--rough", none, "--out", out),
                List.of("features", none, none, "--out", out),
                List.of("filter", none, "--out", out),
                List.of("adc", none, "--out", out),
                List.of("phantom", "--out", out),
                List.of("demo", "--out", out))) {
            CommandRun run = CommandRun.of(arguments.toArray(String[]::new));
            assertThat(run.err())
                    .as(arguments.get(0))
                    .startsWith("cannot read or write: " + out)
                    .endsWith(": found " + file + ", a file, expected a folder" + System.lineSeparator())
                    .hasLineCount(1);
            assertThat(run.exit()).isEqualTo(2);
        }
    }

    @Test
    void anEmptyPathIsNotTheFolderOneHappensToBeIn() {
        CommandRun run = CommandRun.of("phantom", "--out", "");
        assertThat(run.err()).contains("--out: found an empty value, expected the path of a file or folder");
        assertThat(run.exit()).isEqualTo(2);
        assertThat(CommandRun.of("features", "a.nii", "b.nii", "--out", "").err())
                .contains("--out: found an empty value");
    }

    // A thread that still loads fonts when the program ends would leave their temporary files. Begun once per process:
    // the
    // test can fail only where no other measured before.
    @Test
    void whenAMeasurementIsRefusedNothingPreparesItsReportAnyMore() throws IOException {
        float[] voxels = new float[GRID.size().voxels()];
        voxels[120] = Float.NaN;
        NiftiWriter.write(folder.resolve("study/t1.nii.gz"), new Volume(GRID, voxels));
        CommandRun run = measure(folder.resolve("out"), "--threads", "2");
        assertThat(run.err()).contains("without a finite value");
        assertThat(Thread.getAllStackTraces().keySet())
                .extracting(Thread::getName)
                .doesNotContain("leiogauge-report");
    }

    private CommandRun measure(Path out, String... more) {
        List<String> arguments = new ArrayList<>(List.of(
                "measure",
                folder.resolve("study").toString(),
                "--outline",
                folder.resolve("lesion.nii.gz").toString(),
                "--set",
                "stability.draws=0",
                "--set",
                "features.families=[intensity]",
                "--out",
                out.toString()));
        arguments.addAll(List.of(more));
        return CommandRun.of(arguments.toArray(String[]::new));
    }

    private static List<String> names(Path folder, String ending) throws IOException {
        try (Stream<Path> files = Files.list(folder)) {
            return files.map(file -> file.getFileName().toString())
                    .filter(name -> name.endsWith(ending))
                    .sorted()
                    .toList();
        }
    }
}
