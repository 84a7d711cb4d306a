// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.stream.Collectors;
import java.util.stream.IntStream;
import java.util.stream.Stream;
import org.apache.commons.csv.CSVRecord;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.DynamicTest;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.TestFactory;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The 88 texture matrices that the standard prints for its digital phantom. */
class PublishedMatricesTest {
    // Oracle: IBSI digital phantom, matrices as published, counts exact.
    private static PreparedRegion region;
    private static Levels levels;

    @BeforeAll
    static void prepare() {
        Standard.assumePresent();
        Standard.Setup setup = Standard.digital();
        region = PreparedRegion.of(setup.image(), setup.mask(), setup.settings().get(0), Workers.SINGLE, Progress.NONE)
                .orElseThrow();
        levels = region.levels().orElseThrow();
    }

    @TestFactory
    Stream<DynamicTest> cooccurrencePerDirection() {
        return perDirection(
                "glcm-3d", "j", 13, (d, z) -> Glcm.of(levels, d, 1, 0, 3).counts());
    }

    @TestFactory
    Stream<DynamicTest> cooccurrencePerSliceAndDirection() {
        return perDirection(
                "glcm-2d", "j", 16, (d, z) -> Glcm.of(levels, d, 1, z, z).counts());
    }

    @TestFactory
    Stream<DynamicTest> cooccurrencePerSlice() {
        return perSlice(
                "glcm-2d-merged",
                "j",
                z -> sum(Direction.IN_PLANE.stream()
                        .map(d -> Glcm.of(levels, d, 1, z, z).counts())
                        .toList()));
    }

    @Test
    void cooccurrenceOfTheVolume() {
        assertOne(
                "glcm-3d-merged",
                "j",
                sum(Direction.ALL.stream()
                        .map(d -> Glcm.of(levels, d, 1, 0, 3).counts())
                        .toList()));
    }

    @TestFactory
    Stream<DynamicTest> runLengthsPerDirection() {
        return perDirection("glrlm-3d", "run_length", 13, (d, z) -> Glrlm.of(levels, d, 0, 3)
                .counts());
    }

    @TestFactory
    Stream<DynamicTest> runLengthsPerSliceAndDirection() {
        return perDirection("glrlm-2d", "run_length", 16, (d, z) -> Glrlm.of(levels, d, z, z)
                .counts());
    }

    @TestFactory
    Stream<DynamicTest> runLengthsPerSlice() {
        return perSlice(
                "glrlm-2d-merged",
                "run_length",
                z -> sum(Direction.IN_PLANE.stream()
                        .map(d -> Glrlm.of(levels, d, z, z).counts())
                        .toList()));
    }

    @Test
    void runLengthsOfTheVolume() {
        assertOne(
                "glrlm-3d-merged",
                "run_length",
                sum(Direction.ALL.stream()
                        .map(d -> Glrlm.of(levels, d, 0, 3).counts())
                        .toList()));
    }

    @TestFactory
    Stream<DynamicTest> zoneSizesPerSlice() {
        List<Zones> slices = Zones.of(levels, region.morphological(), 2);
        return perSlice("glszm-2d", "zone_size", z -> slices.get(z).sizes());
    }

    @Test
    void zoneSizesOfTheVolume() {
        assertOne(
                "glszm-3d",
                "zone_size",
                Zones.of(levels, region.morphological(), 3).get(0).sizes());
    }

    @TestFactory
    Stream<DynamicTest> zoneDistancesPerSlice() {
        List<Zones> slices = Zones.of(levels, region.morphological(), 2);
        return perSlice("gldzm-2d", "distance", z -> slices.get(z).distances());
    }

    @Test
    void zoneDistancesOfTheVolume() {
        assertOne(
                "gldzm-3d",
                "distance",
                Zones.of(levels, region.morphological(), 3).get(0).distances());
    }

    @TestFactory
    Stream<DynamicTest> dependencePerSlice() {
        List<Neighbours> slices = Neighbours.of(levels, new Settings.Texture(1, 0), 2);
        return perSlice(
                "ngldm-2d", "dependence", z -> slices.get(z).dependence().counts());
    }

    @Test
    void dependenceOfTheVolume() {
        assertOne(
                "ngldm-3d",
                "dependence",
                Neighbours.of(levels, new Settings.Texture(1, 0), 3)
                        .get(0)
                        .dependence()
                        .counts());
    }

    @TestFactory
    Stream<DynamicTest> greyTonesPerSlice() {
        List<Neighbours> slices = Neighbours.of(levels, new Settings.Texture(1, 0), 2);
        return IntStream.range(0, 4)
                .mapToObj(z -> DynamicTest.dynamicTest(
                        "slice " + (z + 1),
                        () -> assertTones("ngtdm-2d", z + 1, slices.get(z).tones())));
    }

    @Test
    void greyTonesOfTheVolume() {
        assertTones(
                "ngtdm-3d",
                0,
                Neighbours.of(levels, new Settings.Texture(1, 0), 3).get(0).tones());
    }

    // Of the printed sums six decimals are known, three in the slices.
    private static void assertTones(String file, int slice, Ngtdm ours) {
        int levelsSeen = 0;
        for (CSVRecord row : rows(file)) {
            if (slice > 0 && number(row, "slice") != slice) continue;
            int level = number(row, "i");
            assertThat(ours.count(level)).as("n of level %d", level).isEqualTo(number(row, "n"));
            assertThat(ours.sum(level))
                    .as("s of level %d", level)
                    .isCloseTo(Double.parseDouble(row.get("s")), within(slice > 0 ? 1e-3 : 1e-6));
            levelsSeen++;
        }
        long occurring = IntStream.rangeClosed(1, ours.levels())
                .filter(i -> ours.count(i) > 0)
                .count();
        assertThat(occurring).isEqualTo(levelsSeen);
    }

    private interface PerDirection {
        CountMatrix of(Direction direction, int z);
    }

    private interface PerSlice {
        CountMatrix of(int z);
    }

    private static Stream<DynamicTest> perDirection(String file, String column, int count, PerDirection ours) {
        boolean hasSlices = file.contains("2d");
        Map<String, List<CSVRecord>> published = new TreeMap<>(rows(file).stream()
                .collect(Collectors.groupingBy(r -> r.get("dx") + " " + r.get("dy") + " " + r.get("dz")
                        + (hasSlices ? " slice " + r.get("slice") : ""))));
        assertThat(published).hasSize(count);
        return published.entrySet().stream()
                .map(e -> DynamicTest.dynamicTest(e.getKey(), () -> {
                    CSVRecord first = e.getValue().get(0);
                    Direction direction = direction(number(first, "dx"), number(first, "dy"), number(first, "dz"));
                    CountMatrix matrix = ours.of(direction, hasSlices ? number(first, "slice") - 1 : 0);
                    assertThat(matrix).hasToString(text(e.getValue(), column));
                }));
    }

    private static Stream<DynamicTest> perSlice(String file, String column, PerSlice ours) {
        Map<Integer, List<CSVRecord>> published = rows(file).stream()
                .collect(Collectors.groupingBy(r -> number(r, "slice"), TreeMap::new, Collectors.toList()));
        assertThat(published).hasSize(4);
        return published.entrySet().stream()
                .map(e -> DynamicTest.dynamicTest("slice " + e.getKey(), () -> assertThat(ours.of(e.getKey() - 1))
                        .hasToString(text(e.getValue(), column))));
    }

    private static void assertOne(String file, String column, CountMatrix ours) {
        assertThat(ours).hasToString(text(rows(file), column));
    }

    // The published direction or its opposite: a run or a pair is the same both ways.
    private static Direction direction(int dx, int dy, int dz) {
        return Direction.ALL.stream()
                .filter(d -> d.equals(new Direction(dx, dy, dz)) || d.equals(new Direction(-dx, -dy, -dz)))
                .findFirst()
                .orElseThrow();
    }

    private static String text(List<CSVRecord> rows, String column) {
        List<int[]> entries = new ArrayList<>();
        for (CSVRecord row : rows) entries.add(new int[] {number(row, "i"), number(row, column), number(row, "count")});
        entries.sort((a, b) -> a[0] != b[0] ? a[0] - b[0] : a[1] - b[1]);
        return entries.stream().map(e -> e[0] + "," + e[1] + "," + e[2] + "\n").collect(Collectors.joining());
    }

    private static int number(CSVRecord row, String column) {
        return Integer.parseInt(row.get(column));
    }

    private static List<CSVRecord> rows(String file) {
        return Standard.rows(Standard.FOLDER.resolve("ibsi1-matrices/" + file + ".csv"));
    }

    private static CountMatrix sum(List<CountMatrix> parts) {
        return CountMatrix.sum(parts);
    }
}
