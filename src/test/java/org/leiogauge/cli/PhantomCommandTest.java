// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import picocli.CommandLine;

class PhantomCommandTest {
    @TempDir
    Path folder;

    private record Run(int exit, String err) {}

    private Run run(String... more) {
        List<String> arguments = new ArrayList<>(
                List.of("phantom", "--quiet", "--out", folder.resolve("out").toString()));
        arguments.addAll(List.of(more));
        StringWriter err = new StringWriter();
        CommandLine line = Main.commandLine().setErr(new PrintWriter(err, true));
        return new Run(line.execute(arguments.toArray(String[]::new)), err.toString());
    }

    private Run withFile(String yaml, String... more) throws IOException {
        Path file = Files.writeString(folder.resolve("settings.yaml"), yaml);
        List<String> arguments = new ArrayList<>(List.of("--settings", file.toString()));
        arguments.addAll(List.of(more));
        return run(arguments.toArray(String[]::new));
    }

    private void refuses(Run run, String... words) throws IOException {
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err()).contains(words).hasLineCount(1);
        try (Stream<Path> left = Files.list(folder)) {
            assertThat(left).allMatch(file -> file.endsWith("settings.yaml"));
        }
    }

    @Test
    void compartmentsLargerThanTheLesionAreRefused() throws IOException {
        refuses(withFile("""
                        lesions:
                          - compartments:
                              - {tissue: cystic, place: core, fraction: 0.7}
                              - {tissue: necrotic, place: rim, fraction: 0.6}
                        """), "compartments", "0 to 1", "1.3");
    }

    @Test
    void aNegativeT1IsRefused() throws IOException {
        refuses(run("--set", "tissues.cystic.t1-ms=-4"), "tissues.cystic", "t1-ms must be 1.0 to 10000.0, got -4.0");
        refuses(
                withFile("preset: red\ntissues:\n  muscle: {t1-ms: -900}\n"),
                "settings.yaml",
                "t1-ms must be 1.0 to 10000.0, got -900.0");
    }

    @Test
    void aLesionOutsideTheFieldOfViewIsRefused() throws IOException {
        refuses(
                withFile("lesions:\n  - centre: {x: 130, y: 0, z: 10}\n"),
                "settings.yaml",
                "must lie inside series INV T2 TSE tra obl: column must be 0.0 to 175.0, got");
    }

    @Test
    void anUnknownKeyIsRefused() throws IOException {
        refuses(run("--set", "scanner.coil=1"), "unknown key 'coil'", "coil-bias");
        refuses(withFile("preset: cystic\nmatrx: full\n"), "settings.yaml", "line 2", "'matrx'", "matrix");
    }

    @Test
    void aSeriesTooLargeOrWithAnOddNameIsRefused() throws IOException {
        String series = "columns: 1024, rows: 1024, slices: 500, pixel-mm: 1, slice-mm: 1, tr-ms: 4000, te-ms: 90, "
                + "flip-degrees: 90, snr: 30";
        refuses(
                withFile("series:\n  - {kind: t2, " + series + "}\n"),
                "columns × rows × slices × images must be 64.0 to 2.68435456E8, got 5.24288E8");
        refuses(
                withFile("series:\n  - {kind: t2, description: '..\\..', " + series + "}\n"),
                "description must be 1 to 50 printable ASCII characters without backslash");
    }

    @Test
    void aFolderThatHoldsAStudyIsRefused() throws IOException {
        Path old = Files.createDirectories(folder.resolve("out/dicom"));
        Run run = run("--preset", "red");
        assertThat(run.exit()).isEqualTo(2);
        assertThat(run.err()).contains("dicom", "a folder without one").hasLineCount(1);
        try (Stream<Path> left = Files.list(old)) {
            assertThat(left).isEmpty();
        }
    }

    @Test
    void anUnknownPresetIsRefused() throws IOException {
        refuses(run("--preset", "purple"), "preset", "purple", "demo, ordinary, hyaline");
    }

    @Test
    void aSteepDistortionIsRefused() throws IOException {
        refuses(
                run("--set", "scanner.distortion-mm=5", "--set", "scanner.distortion-length-mm=30"),
                "distortion-mm must be 0.0 to 3.0, got 5.0");
    }

    @Test
    void singleSettingsGoOverPresetAndFile() throws IOException {
        Run run = withFile("""
                preset: red
                seed: 5
                series:
                  - {kind: t2, columns: 40, rows: 40, slices: 8, pixel-mm: 6, slice-mm: 15, tr-ms: 4000, te-ms: 90, flip-degrees: 90, snr: 30}
                """, "--preset", "cystic", "--set", "seed=9", "--set", "scanner.coil-bias=0");
        assertThat(run.err()).isEmpty();
        assertThat(run.exit()).isZero();
        // Oracle: the options; what they do not name is as the file and the preset have it.
        assertThat(Files.readString(folder.resolve("out/settings.yaml")))
                .contains("preset: cystic", "seed: 9", "coil-bias: 0.0", "coil-bias-mm: 150.0", "columns: 40");
        try (Stream<Path> images = Files.list(folder.resolve("out/dicom/1-invented-t2"))) {
            assertThat(images).hasSize(8);
        }
    }

    @Test
    void helpShowsAnExample() {
        assertThat(Main.commandLine().getSubcommands().get("phantom").getUsageMessage())
                .contains("Example", "--preset", "hard-malignant", "--help");
    }
}
