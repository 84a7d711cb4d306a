// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.demo;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class EllipsoidStudyTest {
    private static final Path FOLDER = Path.of("test-images/ellipsoids");

    @TempDir
    Path folder;

    @Test
    void theShippedFilesAreWhatTheProgramMakes() throws IOException {
        EllipsoidStudy.write(folder);
        List<Path> made = files(folder);
        assertThat(files(FOLDER)).isEqualTo(made);
        for (Path file : made)
            assertThat(Files.mismatch(folder.resolve(file), FOLDER.resolve(file)))
                    .as(file.toString())
                    .isEqualTo(-1);
    }

    // Oracle: closed forms of the ellipsoid with half axes 30, 25, 22 mm: V = 4/3 π a b c = 69 115 mm³; longest
    // diameter
    // 60 mm. Slices of 4 mm and voxels of 1.25 mm: 2 % of the volume; the outermost slices may lack half a slice each.
    @Test
    void theLesionHasTheEllipsoidsVolumeAndDiameter() throws IOException, InputException {
        measure(folder.resolve("out"), Workers.SINGLE);
        assertThat(value("volume")).isCloseTo(4.0 / 3 * Math.PI * 30 * 25 * 22, within(0.02 * 69115));
        assertThat(value("longest diameter")).isCloseTo(60, within(4.0));
    }

    @Test
    void anyNumberOfThreadsGivesTheSameBytes() throws IOException, InputException {
        measure(folder.resolve("out"), Workers.SINGLE);
        for (int threads : new int[] {2, 3}) {
            Path other = folder.resolve("out" + threads);
            try (Workers workers = Workers.of(threads)) {
                measure(other, workers);
            }
            assertThat(files(other)).isEqualTo(files(folder.resolve("out")));
            for (Path file : files(other))
                assertThat(Files.mismatch(
                                other.resolve(file), folder.resolve("out").resolve(file)))
                        .as(file + " with " + threads + " threads")
                        .isEqualTo(-1);
        }
    }

    @Test
    void noOutputNamesThePatient() throws IOException, InputException {
        measure(folder.resolve("out"), Workers.SINGLE);
        for (Path file : files(folder.resolve("out"))) {
            String text =
                    Files.readString(folder.resolve("out").resolve(file), java.nio.charset.StandardCharsets.ISO_8859_1);
            assertThat(text).as(file.toString()).doesNotContain("Invented^Pelvis", "INVENTED");
        }
    }

    private static void measure(Path out, Workers workers) throws IOException, InputException {
        CaseMeasurement.run(
                new CaseRequest(
                        FOLDER.resolve("study"),
                        FOLDER.resolve("outline.dcm"),
                        Optional.of("lesion"),
                        Optional.empty(),
                        Optional.of(FOLDER.resolve("case.yaml")),
                        SettingsFile.read(Optional.empty(), List.of("stability.draws=4")),
                        "Leiogauge",
                        List.of()),
                out,
                workers,
                Progress.NONE);
    }

    private double value(String feature) throws IOException {
        return Files.readAllLines(folder.resolve("out/features.csv")).stream()
                .map(line -> line.split(","))
                .filter(cells -> cells[4].equals("lesion") && cells[5].equals(feature))
                .mapToDouble(cells -> Double.parseDouble(cells[8]))
                .findFirst()
                .orElseThrow();
    }

    private static List<Path> files(Path folder) throws IOException {
        try (Stream<Path> walk = Files.walk(folder)) {
            return walk.filter(Files::isRegularFile)
                    .map(folder::relativize)
                    .sorted()
                    .toList();
        }
    }
}
