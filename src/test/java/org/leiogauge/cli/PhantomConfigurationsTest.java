// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.StreamSupport;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.io.TempDir;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;
import org.leiogauge.feature.PreparedRegion;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The configurations D and E of the standard's CT phantom, for which the reference data here hold no values: against the
 * definitions in numpy and scipy.
 */
class PhantomConfigurationsTest {
    private static final Path PHANTOM = Path.of("..", "shared", "standards", "ibsi", "ct-phantom");
    private static final Path IMAGE = PHANTOM.resolve("image.nii.gz");
    private static final Path MASK = PHANTOM.resolve("mask.nii.gz");

    @TempDir
    Path folder;

    @ParameterizedTest
    @ValueSource(strings = {"d", "e"})
    void everyFeatureThatNeedsNoMeshIsTheDefinitions(String configuration) throws IOException {
        List<String> expected = expected(configuration);
        Map<String, Double> ours = ours(configuration);
        int compared = 0;
        for (String line : expected) {
            String[] part = line.split(" ");
            if (part[0].equals("voxels")) continue;
            double value = Double.parseDouble(part[2]);
            String key = part[0] + " " + part[1];
            // Tolerance: double precision, summed in another order.
            assertThat(ours.get(key)).as(key).isCloseTo(value, within(1e-9 * Math.max(1e-6, Math.abs(value))));
            compared++;
        }
        // Oracle: 215 values of a 3-D configuration, of which 19 need the mesh.
        assertThat(compared).isEqualTo(196);
        assertThat(ours).hasSize(215);
    }

    @ParameterizedTest
    @ValueSource(strings = {"d", "e"})
    void everyVoxelOfTheRegionIsTheDefinitions(String configuration) throws IOException, InputException {
        List<String> expected = expected(configuration);
        PreparedRegion unrounded = prepared(configuration, List.of("features.resample.round=false"));
        byte[] inside = unrounded.morphological().voxels();
        float[] values = unrounded.intensities();
        ByteBuffer theirs = ByteBuffer.wrap(Files.readAllBytes(folder.resolve("voxels")));
        theirs.order(ByteOrder.LITTLE_ENDIAN);
        assertThat(theirs.remaining()).isEqualTo(4 * inside.length);
        for (int i = 0; i < inside.length; i++) {
            float value = theirs.getFloat();
            assertThat(inside[i] != 0).as("voxel %d is inside", i).isEqualTo(!Float.isNaN(value));
            // Tolerance: single precision of values up to 3065.
            if (inside[i] != 0) assertThat(values[i]).as("voxel %d", i).isCloseTo(value, within(2.5e-4f));
        }
        PreparedRegion rounded = prepared(configuration, List.of());
        assertThat(expected)
                .contains("voxels region " + (double) rounded.morphological().count())
                .contains("voxels intensity " + (double) rounded.intensity().count());
    }

    // Oracle: NumPy 1.24, SciPy 1.10, from the definitions of the standard.
    private List<String> expected(String configuration) {
        boolean isThere = Files.isRegularFile(IMAGE);
        if (!isThere) System.out.println("SKIPPED: no CT phantom of the standard in " + PHANTOM);
        assumeTrue(isThere, "no CT phantom of the standard in " + PHANTOM);
        return DebianPython.run(
                "scipy, nibabel", "configuration.py", IMAGE, MASK, configuration, folder.resolve("voxels"));
    }

    private Map<String, Double> ours(String configuration) throws IOException {
        Path table = folder.resolve("features.csv");
        int exit = Main.commandLine()
                .execute(
                        "features",
                        IMAGE.toString(),
                        MASK.toString(),
                        "--settings",
                        settings(configuration).toString(),
                        "--out",
                        table.toString(),
                        "--quiet");
        assertThat(exit).isZero();
        try (var parser = CSVFormat.DEFAULT
                .builder()
                .setHeader()
                .setSkipHeaderRecord(true)
                .get()
                .parse(Files.newBufferedReader(table, StandardCharsets.UTF_8))) {
            return StreamSupport.stream(parser.spliterator(), false)
                    .collect(Collectors.toMap(
                            PhantomConfigurationsTest::key, row -> Double.parseDouble(row.get("value"))));
        }
    }

    // Two codes stand for a value at 10 % and at 90 % alike.
    private static String key(CSVRecord row) {
        boolean isSecond = List.of("BC2M", "GBPN").contains(row.get("code"))
                && row.get("feature").contains("90%");
        return row.get("code") + (isSecond ? "-90" : "") + " " + row.get("aggregation_code");
    }

    private static PreparedRegion prepared(String configuration, List<String> overrides) throws InputException {
        var settings = SettingsFile.read(Optional.of(settings(configuration)), overrides);
        return PreparedRegion.of(
                        NiftiReader.read(IMAGE),
                        NiftiReader.readMask(MASK),
                        settings.features(),
                        Workers.SINGLE,
                        Progress.NONE)
                .orElseThrow();
    }

    private static Path settings(String configuration) {
        return Path.of("src/test/resources/configurations", configuration + ".yaml");
    }
}
