// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.assertj.core.data.Offset;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.cohort.TinyCohort;
import org.leiogauge.table.CsvTable;

class AgreeCommandTest {
    private static final Offset<Double> PRINTED = within(5e-7);

    @TempDir
    static Path shared;

    private static Path cohort;

    @TempDir
    Path folder;

    @BeforeAll
    static void measure() throws Exception {
        Path manifest = TinyCohort.write(shared, 3, false);
        cohort = shared.resolve("cohort");
        assertThat(TinyCohort.run(manifest, cohort, false, 2).failed()).isZero();
    }

    // Oracle: by hand. Boxes of 6 × 5 × 4 and 7 × 5 × 4 voxels of 1 × 1 × 2 mm, the first within the second: Dice
    // 2·120/260, Jaccard 120/140; the border of the larger lies 0 or 1 mm from that of the smaller, 1 mm for 20 voxels
    // of 110.
    @Test
    void outlinesOfTheReadersOfACohortAreCompared() throws Exception {
        CommandRun run = CommandRun.of(
                "agree", cohort.toString(), "--out", folder.resolve("out").toString());
        assertThat(run.exit()).as(run.err()).isZero();
        CsvTable outlines = CsvTable.read(folder.resolve("out/outlines.csv"));
        assertThat(outlines.columns())
                .containsExactly(
                        "case",
                        "lesion",
                        "first",
                        "second",
                        "Dice",
                        "Jaccard",
                        "95 % Hausdorff distance (mm)",
                        "Hausdorff distance (mm)",
                        "mean surface distance (mm)");
        assertThat(outlines.rows()).hasSize(3);
        assertThat(outlines.rows().get(1).subList(0, 4)).containsExactly("case-1", "L1", "reader-1", "reader-2");
        for (List<String> row : outlines.rows()) {
            assertThat(Double.parseDouble(row.get(4))).isCloseTo(240.0 / 260, within(1e-12));
            assertThat(Double.parseDouble(row.get(5))).isCloseTo(120.0 / 140, within(1e-12));
            assertThat(row.subList(6, 8)).containsExactly("1.0", "1.0");
        }
        assertThat(value("outline/Dice", "median, reader-1 and reader-2")).isCloseTo(240.0 / 260, within(1e-12));
        assertThat(Files.readString(folder.resolve("out/agreement.html")))
                .contains("Agreement of outlines", "reader-1 and reader-2", "Agreement of each feature");
        assertThat(folder.resolve("out/figures/outlines-1.png")).exists();
    }

    @Test
    void aCohortsReadersAreThoseOfItsTwoTables() {
        CommandRun folderGiven = CommandRun.of("agree", cohort.toString());
        CommandRun tablesGiven =
                CommandRun.of("agree", cohort + "/readers/reader-1.csv", cohort + "/readers/reader-2.csv");
        assertThat(folderGiven.out()).startsWith(tablesGiven.out()).contains("outline/Dice");
        CommandRun turned = CommandRun.of("agree", cohort.toString(), "--readers", "reader-2,reader-1");
        assertThat(turned.exit()).isZero();
        assertThat(turned.out()).isNotEqualTo(folderGiven.out());
    }

    // Oracle: R package vcd on the 2 × 2 table 40, 10, 5, 45 for the border; the definition, below, for the grades.
    @Test
    void twoReadersImpressionsGiveCohensKappa() throws Exception {
        StringBuilder first = new StringBuilder("case,lesion,reader,border,concern\n");
        StringBuilder second = new StringBuilder(first);
        int[][] border = {{40, 10}, {5, 45}};
        int[][] concern = {{44, 5, 0, 0, 0}, {3, 11, 4, 0, 0}, {2, 13, 3, 4, 0}, {1, 2, 4, 2, 0}, {0, 0, 0, 0, 2}};
        List<int[]> ofBorder = spread(border);
        List<int[]> ofConcern = spread(concern);
        String[] words = {"ill-defined", "well-defined"};
        for (int i = 0; i < 100; i++) {
            String key = "c" + i + ",L1,";
            first.append(key).append("r1,").append(words[ofBorder.get(i)[0]]).append(',');
            first.append(ofConcern.get(i)[0] + 1).append('\n');
            second.append(key).append("r2,").append(words[ofBorder.get(i)[1]]).append(',');
            second.append(ofConcern.get(i)[1] + 1).append('\n');
        }
        Files.writeString(folder.resolve("a.csv"), first);
        Files.writeString(folder.resolve("b.csv"), second);
        CommandRun run = CommandRun.of("agree", at("a.csv"), at("b.csv"), "--out", at("out"));
        assertThat(run.exit()).as(run.err()).isZero();
        List<String> row = row("impression/border", "Cohen's kappa, r1 and r2");
        assertThat(Double.parseDouble(row.get(4))).isCloseTo(0.7, PRINTED);
        assertThat(Double.parseDouble(row.get(5))).isCloseTo(0.560732180366, PRINTED);
        assertThat(Double.parseDouble(row.get(6))).isCloseTo(0.839267819634, PRINTED);
        for (int power = 1; power <= 2; power++)
            assertThat(value(
                            "impression/concern",
                            "kappa, " + (power == 1 ? "linear" : "quadratic") + " weights, r1 and r2"))
                    .isCloseTo(weighted(concern, power), within(1e-12));
    }

    // The definition: 1 less the observed over the expected disagreement |i − j|^power.
    private static double weighted(int[][] table, int power) {
        double[] rows = new double[5];
        double[] columns = new double[5];
        double n = 0;
        for (int i = 0; i < 5; i++)
            for (int j = 0; j < 5; j++) {
                rows[i] += table[i][j];
                columns[j] += table[i][j];
                n += table[i][j];
            }
        double observed = 0;
        double expected = 0;
        for (int i = 0; i < 5; i++)
            for (int j = 0; j < 5; j++) {
                double weight = Math.pow(Math.abs(i - j), power);
                observed += weight * table[i][j];
                expected += weight * rows[i] * columns[j] / n;
            }
        return 1 - observed / expected;
    }

    // Oracle: Python statsmodels 0.13.5 on the example that its tests reprint.
    @Test
    void manyReadersImpressionsGiveFleissKappa() throws Exception {
        int[][] counts = {
            {0, 0, 0, 0, 14}, {0, 2, 6, 4, 2}, {0, 0, 3, 5, 6}, {0, 3, 9, 2, 0}, {2, 2, 8, 1, 1},
            {7, 7, 0, 0, 0}, {3, 2, 6, 3, 0}, {2, 5, 3, 2, 2}, {6, 5, 2, 1, 0}, {0, 2, 2, 3, 7}
        };
        StringBuilder table = new StringBuilder("case,lesion,reader,concern\n");
        for (int i = 0; i < counts.length; i++)
            for (int term = 0, reader = 0; term < 5; term++)
                for (int k = 0; k < counts[i][term]; k++, reader++)
                    table.append(String.format("c%d,L1,r%02d,%d%n", i, reader, term + 1));
        Files.writeString(folder.resolve("all.csv"), table);
        assertThat(CommandRun.of("agree", at("all.csv"), "--out", at("out")).exit())
                .isZero();
        List<String> row = row("impression/concern", "Fleiss' kappa, 14 readers");
        assertThat(row.get(3)).isEqualTo("10");
        assertThat(Double.parseDouble(row.get(4))).isCloseTo(0.20993070442, PRINTED);
        assertThat(Double.parseDouble(row.get(6)) - Double.parseDouble(row.get(4)))
                .isCloseTo(1.959963984540054 * 0.016965069224, PRINTED);
    }

    // Oracle: by hand: the first reader always says 2, so that observed and chance agreement are the same.
    @Test
    void aKappaWithoutIntervalSaysWhy() throws Exception {
        StringBuilder table = new StringBuilder("case,lesion,reader,concern\n");
        for (int i = 0; i < 6; i++) table.append("c" + i + ",L1,r1,2\nc" + i + ",L1,r2," + (i < 5 ? 2 : 3) + "\n");
        Files.writeString(folder.resolve("constant.csv"), table);
        assertThat(CommandRun.of("agree", at("constant.csv"), "--out", at("out"))
                        .exit())
                .isZero();
        for (String statistic : List.of("Cohen's kappa", "kappa, linear weights", "kappa, quadratic weights")) {
            List<String> row = row("impression/concern", statistic + ", r1 and r2");
            assertThat(row.subList(4, 7)).containsExactly("0.0", "", "");
            assertThat(row.get(7)).startsWith("no interval: the first reader uses one term throughout");
        }
        assertThat(Files.readString(folder.resolve("out/agreement.html"))).contains("no interval: the first reader");
    }

    @Test
    void whatCannotBeComparedIsSaidInOneLineWithExitCode2() throws IOException {
        Files.writeString(folder.resolve("one.csv"), "case,lesion,reader,border\na,L1,r1,lobulated\n");
        Files.writeString(
                folder.resolve("twice.csv"), "case,lesion,reader,border\na,L1,r1,lobulated\na,L1,r1,lobulated\n");
        Files.writeString(folder.resolve("grade.csv"), "case,lesion,reader,concern\na,L1,r1,6\n");
        Files.writeString(folder.resolve("nobody.csv"), "case,lesion,reader,concern\na,L1,,1\n");
        expectRefusal("found 1 readers without a lesion in common, expected two readers or more", "one.csv");
        expectRefusal("found a L1 by reader 'r1' twice, expected each reader once for a lesion", "twice.csv");
        expectRefusal("line 2, column concern: found 6, expected one of 1, 2, 3, 4, 5", "grade.csv");
        expectRefusal("column reader: found nothing", "nobody.csv");
        Files.writeString(
                folder.resolve("term.csv"), "case,lesion,reader,border\na,L1,r1,lobulated\n\na,L1,r2,lobulatd\n");
        Files.writeString(folder.resolve("sign.csv"), "case,lesion,reader,bordr\na,L1,r1,lobulated\n");
        expectRefusal("term.csv: line 4, column border: found lobulatd, expected one of well-defined, lob", "term.csv");
        expectRefusal("sign.csv: header: found the unknown column bordr, expected case, lesion, reader", "sign.csv");
        expectRefusal("none.csv", "none.csv", "none.csv");
        CommandRun feature = CommandRun.of("agree", cohort + "/readers/reader-1.csv");
        assertThat(feature.err()).contains("expected case, lesion, reader and signs");
        assertThat(feature.exit()).isEqualTo(2);
        CommandRun unknown = CommandRun.of("agree", cohort.toString(), "--readers", "reader-1,nobody");
        assertThat(unknown.err()).contains("nobody.csv: found no such file");
        CommandRun one = CommandRun.of("agree", cohort.toString(), "--readers", "reader-1");
        assertThat(one.err()).contains("found 1: reader-1, expected two readers");
        CommandRun empty = CommandRun.of("agree", folder.toString());
        assertThat(empty.err()).contains("found a folder, expected one that cohort wrote");
    }

    // Oracle: by hand: the second table is the first, cut to its first case.
    @Test
    void anEmptyTableSaysWhy() throws IOException {
        List<String> lines = Files.readAllLines(cohort.resolve("readers/reader-1.csv"));
        Files.write(
                folder.resolve("one.csv"),
                lines.stream()
                        .filter(line -> line.equals(lines.get(0)) || line.startsWith("case-1,"))
                        .toList());
        CommandRun run = CommandRun.of("agree", cohort + "/readers/reader-1.csv", at("one.csv"));
        assertThat(run.exit()).as(run.err()).isZero();
        assertThat(run.out().lines()).hasSize(1);
        assertThat(run.err())
                .isEqualTo("no feature is compared: 3 lesions measured in both are needed, and there is 1\n");
    }

    @Test
    void tablesOfTwoUnitsOrTwoVersionsAreRefused() throws IOException {
        Path other = Files.createDirectory(folder.resolve("other"));
        String one = Files.readString(cohort.resolve("readers/reader-1.csv"));
        Files.writeString(other.resolve("features.csv"), one.replace(",mm3,", ",mL,"));
        CommandRun units = CommandRun.of("agree", cohort + "/readers/reader-1.csv", at("other/features.csv"));
        assertThat(units.exit()).isEqualTo(2);
        assertThat(units.err()).contains("features.csv: unit of lesion/").contains("found mL, expected mm3");
        Path version = Files.createDirectory(folder.resolve("version"));
        String dictionary = Files.readString(cohort.resolve("dictionary.csv"));
        for (Path to : List.of(other, version)) Files.writeString(to.resolve("features.csv"), one);
        Files.writeString(other.resolve("dictionary.csv"), dictionary);
        Files.writeString(version.resolve("dictionary.csv"), dictionary.replaceFirst(",mm3,(\"?)", ",mm3,$1once "));
        CommandRun versions = CommandRun.of("agree", at("other/features.csv"), at("version/features.csv"));
        assertThat(versions.exit()).as(versions.err()).isEqualTo(2);
        assertThat(versions.err()).contains("found another definition than in ").contains("tables of one version");
    }

    private void expectRefusal(String message, String... files) {
        String[] arguments = new String[files.length + 1];
        arguments[0] = "agree";
        for (int i = 0; i < files.length; i++) arguments[i + 1] = at(files[i]);
        CommandRun run = CommandRun.of(arguments);
        assertThat(run.exit()).as(run.err()).isEqualTo(2);
        assertThat(run.err()).contains(message);
        assertThat(run.err().strip().lines()).hasSize(1);
    }

    private static List<int[]> spread(int[][] table) {
        List<int[]> cells = new ArrayList<>();
        for (int i = 0; i < table.length; i++)
            for (int j = 0; j < table.length; j++) for (int k = 0; k < table[i][j]; k++) cells.add(new int[] {i, j});
        return cells;
    }

    private double value(String feature, String statistic) throws Exception {
        return Double.parseDouble(row(feature, statistic).get(4));
    }

    private List<String> row(String feature, String statistic) throws Exception {
        return CsvTable.read(folder.resolve("out/agreement.csv")).rows().stream()
                .filter(row -> row.get(0).equals(feature) && row.get(1).equals(statistic))
                .findFirst()
                .orElseThrow();
    }

    private String at(String name) {
        return folder.resolve(name).toString();
    }
}
