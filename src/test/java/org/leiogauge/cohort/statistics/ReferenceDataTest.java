// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.leiogauge.table.CsvTable;

/**
 * Statistics of published data sets that may not lie in this repository: data and expected values are read from a table
 * beside the checkout, which names for each the R package, Python package or paper that it comes from.
 */
class ReferenceDataTest {
    private static final Path TABLE = Path.of("../shared/stat-oracles.csv");
    private static final double Z = 1.959963984540054;

    private static final Map<String, String> DATA = new HashMap<>();
    private static final Map<String, double[]> EXPECTED = new HashMap<>();

    @BeforeAll
    static void read() throws Exception {
        assumeTrue(Files.isRegularFile(TABLE), "skipped: needs " + TABLE);
        CsvTable table = CsvTable.read(TABLE);
        for (List<String> row : table.rows()) {
            if (row.get(1).equals("dataset")) DATA.put(row.get(0), row.get(2));
            else if (row.get(4).matches("[-0-9.e;]+"))
                EXPECTED.put(
                        row.get(0),
                        Arrays.stream(row.get(4).split(";"))
                                .mapToDouble(Double::parseDouble)
                                .toArray());
        }
    }

    // Oracle: R package pROC 1.18.0.
    @Test
    void curvesOfThreeMarkersMatch() {
        for (String marker : List.of("s100b", "ndka", "wfns")) {
            Roc roc = roc(marker);
            assertThat(roc.auc()).as(marker).isCloseTo(expected("ROC_" + marker + "_auc", 0), within(1e-9));
            assertThat(roc.variance()).as(marker).isCloseTo(expected("ROC_" + marker + "_var", 0), within(1e-10));
            assertThat(roc.estimate().interval().orElseThrow().low())
                    .isCloseTo(expected("ROC_" + marker + "_ci", 0), within(1e-8));
            assertThat(roc.estimate().interval().orElseThrow().high())
                    .isCloseTo(expected("ROC_" + marker + "_ci", 1), within(1e-8));
            Roc.Cut cut = roc.youden();
            double[] youden = EXPECTED.get("ROC_" + marker + "_youden");
            assertThat(new double[] {cut.threshold(), cut.sensitivity(), cut.specificity()})
                    .as(marker)
                    .containsExactly(youden, within(1e-8));
        }
    }

    // Oracle: R package pROC 1.18.0, paired test of DeLong.
    @Test
    void pairedComparisonsMatch() {
        expectComparison("DELONG_s_n", "s100b", "ndka");
        expectComparison("DELONG_s_w", "s100b", "wfns");
        expectComparison("DELONG_n_w", "ndka", "wfns");
    }

    private static void expectComparison(String check, String first, String second) {
        Roc.Comparison comparison = roc(first).against(roc(second));
        assertThat(comparison.z()).as(check).isCloseTo(expected(check, 0), within(1e-7));
        assertThat(comparison.p()).as(check).isCloseTo(expected(check, 1), within(1e-7));
    }

    // Oracle: base R 4.2.2, wilcox.test with continuity and tie correction; its W is the number of pairs in order.
    @Test
    void rankSumTestMatches() {
        Roc roc = roc("s100b");
        assertThat(roc.auc() * roc.positives() * roc.negatives()).isCloseTo(expected("MWU_s100b", 0), within(1e-9));
        assertThat(roc.rankSumP()).isCloseTo(expected("MWU_s100b", 1), within(1e-9));
    }

    // Oracle: base R 4.2.2, glm. Tolerance: our columns are held in single precision.
    @Test
    void logisticModelWithoutPenaltyMatches() {
        double[][] columns = {numbers("s100b"), numbers("ndka")};
        SparseLogistic.Model model =
                SparseLogistic.path(columns, poor(), new double[] {0}).get(0);
        assertThat(model.intercept()).isCloseTo(expected("LOGIT", 0), within(2e-3));
        assertThat(model.coefficients().get(0)).isCloseTo(expected("LOGIT", 1), within(5e-3));
        assertThat(model.coefficients().get(1)).isCloseTo(expected("LOGIT", 2), within(1e-4));
        double[] fitted = new double[poor().length];
        for (int i = 0; i < fitted.length; i++)
            fitted[i] = model.probability(new double[] {columns[0][i], columns[1][i]});
        Calibration calibration = Calibration.of(fitted, poor());
        assertThat(-fitted.length * calibration.logarithmicLoss()).isCloseTo(expected("LOGIT_fit", 0), within(1e-5));
        assertThat(calibration.brier()).isCloseTo(expected("LOGIT_fit", 2), within(1e-5));
        assertThat(Roc.of(fitted, poor()).auc()).isCloseTo(expected("LOGIT_fit", 3), within(1e-3));
    }

    // Oracle: R packages epiR 2.0.57, whose intervals are of other kinds (under chance alone, or simplified), and vcd.
    @Test
    void kappasMatch() {
        assertThat(kappa(new int[][] {{19, 10}, {6, 256}})).isCloseTo(expected("KAPPA_salmon", 0), within(1e-8));
        assertThat(kappa(new int[][] {{596, 61}, {29, 987}})).isCloseTo(expected("KAPPA_cows", 0), within(1e-8));
        int[][] answers = {{7, 7, 2, 3}, {2, 8, 3, 7}, {1, 5, 4, 9}, {2, 8, 9, 14}};
        List<Kappa.Weights> weights = List.of(Kappa.Weights.NONE, Kappa.Weights.LINEAR, Kappa.Weights.QUADRATIC);
        for (int i = 0; i < 3; i++) {
            var estimate = Kappa.of(answers, weights.get(i));
            double value = estimate.value().number().orElseThrow();
            assertThat(value).isCloseTo(expected("KAPPA_SexualFun", 2 * i), within(1e-6));
            assertThat((estimate.interval().orElseThrow().high() - value) / Z)
                    .isCloseTo(expected("KAPPA_SexualFun", 2 * i + 1), within(1e-6));
        }
    }

    private static double kappa(int[][] table) {
        return Kappa.of(table, Kappa.Weights.NONE).value().number().orElseThrow();
    }

    // Oracle: Fleiss 1971 prints 0.430; Python statsmodels 0.13.5.
    @Test
    void kappaOfManyReadersMatchesItsPaper() {
        int[][] counts = Arrays.stream(DATA.get("DS_FLEISS_1971").split("\\|"))
                .map(row -> Arrays.stream(row.strip().split(" +"))
                        .mapToInt(Integer::parseInt)
                        .toArray())
                .toArray(int[][]::new);
        var estimate = FleissKappa.of(counts);
        double value = estimate.value().number().orElseThrow();
        assertThat(value).isCloseTo(expected("FLEISS_1971", 0), within(1e-9));
        assertThat((estimate.interval().orElseThrow().high() - value) / Z)
                .isCloseTo(expected("FLEISS_1971", 3), within(1e-9));
    }

    private static double expected(String check, int at) {
        return EXPECTED.get(check)[at];
    }

    private static Roc roc(String marker) {
        return Roc.of(numbers(marker), poor());
    }

    private static boolean[] poor() {
        String digits = DATA.get("DS_aSAH_outcome");
        boolean[] poor = new boolean[digits.length()];
        for (int i = 0; i < poor.length; i++) poor[i] = digits.charAt(i) == '1';
        return poor;
    }

    // One number per patient, or one digit.
    private static double[] numbers(String marker) {
        String text = DATA.get("DS_aSAH_" + marker);
        return Arrays.stream(text.split(text.contains(" ") ? " +" : ""))
                .mapToDouble(Double::parseDouble)
                .toArray();
    }
}
