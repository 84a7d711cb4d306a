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
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.phantom.Preset;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class DemoTest {
    private static final Path DEMO = Path.of("test-images/demo");

    @TempDir
    Path folder;

    @Test
    void theShippedFilesAreWhatThePresetMakes() throws IOException, InputException {
        Path made = folder.resolve("made");
        try (Workers workers = Workers.of(2)) {
            Phantom.write(
                    PhantomSettings.of(Preset.DEMO, List.of("dicom.compression=rle")), made, workers, Progress.NONE);
        }
        assertThat(files(made)).isEqualTo(files(DEMO));
        for (Path file : files(made))
            if (!file.equals(Path.of("case.yaml")))
                assertThat(Files.mismatch(made.resolve(file), DEMO.resolve(file)))
                        .as(file.toString())
                        .isEqualTo(-1);
        // whoever measures the shipped files by hand has it noted in the case file
        assertThat(Files.readString(DEMO.resolve("case.yaml")).replaceFirst("(?m)^numbers-shown: .*\\n", ""))
                .isEqualTo(Files.readString(made.resolve("case.yaml")));
    }

    // Oracle: the study's own truth.csv, of the continuous solids. Volume: 2 %, the voxels' coarseness; ratios and
    // enhancement: the targets of docs/accuracy.md; ADC: voxels of 3 × 3 × 6 mm mix what a compartment of that size
    // holds.
    @Test
    void theLesionMeasuresAsItsTruthSays() throws IOException, InputException {
        Path out = folder.resolve("out");
        try (Workers workers = Workers.of(2)) {
            CaseMeasurement.run(
                    new CaseRequest(
                            DEMO.resolve("dicom"),
                            DEMO.resolve("outline-true.dcm"),
                            Optional.of("L1"),
                            Optional.empty(),
                            Optional.of(DEMO.resolve("case.yaml")),
                            SettingsFile.read(Optional.empty(), List.of("stability.draws=0")),
                            "Leiogauge",
                            List.of()),
                    out,
                    workers,
                    Progress.NONE);
        }
        double volume = truth("volume", "");
        assertThat(measured(out, "volume", "")).isCloseTo(volume, within(0.02 * volume));
        assertThat(measured(out, "relative enhancement", "90 s"))
                .isCloseTo(truth("relative enhancement", "90 s"), within(5.0));
        assertThat(measured(out, "t2 bright fraction", "")).isCloseTo(truth("t2 bright fraction", ""), within(0.03));
        assertThat(measured(out, "adc p50", "")).isCloseTo(truth("adc p50", ""), within(0.05));
    }

    private static double truth(String feature, String aggregation) throws IOException {
        return value(DEMO.resolve("truth.csv"), feature + "," + aggregation + ",", 2);
    }

    private static double measured(Path out, String feature, String aggregation) throws IOException {
        return Files.readAllLines(out.resolve("features.csv")).stream()
                .map(line -> line.split(","))
                .filter(c -> c[4].equals("lesion") && c[5].equals(feature) && c[7].equals(aggregation))
                .mapToDouble(c -> Double.parseDouble(c[8]))
                .findFirst()
                .orElseThrow();
    }

    private static double value(Path table, String start, int cell) throws IOException {
        return Files.readAllLines(table).stream()
                .filter(line -> line.startsWith(start))
                .mapToDouble(line -> Double.parseDouble(line.split(",")[cell]))
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
