// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class ModelStatisticsTest {
    private static final int N = 24;

    // Oracle: scikit-learn 1.2.1, LogisticRegression on standardised features (saga, L1, C = 1/(n λ), tol 1e-12; lbfgs
    // without penalty), coefficients per unit of the feature. Tolerance: our columns are held in single precision.
    @Test
    void sparseModelsMatchAGeneralPurposeLibrary() {
        List<SparseLogistic.Model> path = SparseLogistic.path(columns(), classes(), new double[] {0.1, 0.03, 0});
        expect(path.get(0), 0.15086450980401378, 0.2976090290181912, 0, -0.011485108841596524, -1.0802368339390305);
        expect(path.get(1), -0.3923565442583794, 0.6680850194016985, 0, -0.04309118521658939, -2.2220255850791872);
        expect(
                path.get(2),
                -0.9080466742552233,
                1.572646055719803,
                -0.29816471376563647,
                -0.17609022469097685,
                -4.707811243282797);
        assertThat(path.get(0).size()).isEqualTo(3);
    }

    // Oracle: the definition of the largest penalty: at it no feature counts, just under it one does.
    @Test
    void thePathBeginsWhereTheFirstFeatureComesIn() {
        double[] lambdas = SparseLogistic.lambdas(columns(), classes(), 5, 0.1);
        assertThat(lambdas[4]).isCloseTo(0.1 * lambdas[0], within(1e-12));
        List<SparseLogistic.Model> models =
                SparseLogistic.path(columns(), classes(), new double[] {lambdas[0] * 1.0001, lambdas[0] * 0.99});
        assertThat(models.get(0).size()).isZero();
        assertThat(models.get(1).size()).isEqualTo(1);
    }

    // Oracle: the Karush-Kuhn-Tucker conditions of the convex problem, in double precision: at the minimum the gradient
    // is λ
    // against the sign of each coefficient that counts, at most λ for the others, 0 for the intercept. Tolerance: steps
    // end
    // within 1e-8, columns are held in single precision, 6e-8 of each value; near copies use up the steps before.
    @Test
    void modelsOfFeaturesThatHangTogetherAreTheMinimum() {
        expectMinima(0.08, 5e-8);
        expectMinima(0.95, 5e-8);
        expectMinima(0.99, 5e-8);
        expectMinima(0.9999, 5e-6);
    }

    private static void expectMinima(double shared, double tolerance) {
        NestedValidation.Cases cases = hangingTogether(260, 300, shared);
        double[] falling = SparseLogistic.lambdas(cases.columns(), cases.positive(), 12, 0.02);
        // The last is a leap back, for which no earlier gradient says what to expect.
        double[] lambdas = Arrays.copyOf(falling, 13);
        lambdas[12] = lambdas[2];
        for (SparseLogistic.Model model : SparseLogistic.path(cases.columns(), cases.positive(), lambdas))
            assertThat(farFromTheMinimum(model, cases))
                    .as("shared %s, λ %s, %s features", shared, model.lambda(), model.size())
                    .isLessThan(tolerance);
    }

    // Oracle: the path of one penalty alone, started from no feature; as many steps from elsewhere end at the same
    // minimum.
    @Test
    void theWayAlongThePenaltiesDoesNotBearOnTheModel() {
        NestedValidation.Cases cases = hangingTogether(260, 100, 0.5);
        double[] lambdas = SparseLogistic.lambdas(cases.columns(), cases.positive(), 12, 0.1);
        List<SparseLogistic.Model> path = SparseLogistic.path(cases.columns(), cases.positive(), lambdas);
        SparseLogistic.Model alone = SparseLogistic.path(cases.columns(), cases.positive(), new double[] {lambdas[11]})
                .get(0);
        for (int j = 0; j < 100; j++)
            assertThat(path.get(11).coefficients().get(j))
                    .isCloseTo(alone.coefficients().get(j), within(1e-5));
    }

    // Oracle: the sums as they are defined, in double precision; ours are in single precision, of 75 terms of about
    // 0.2.
    @Test
    void productsOfFeaturesThatJoinLaterAreThoseOfTheDefinition() {
        SplittableRandom random = new SplittableRandom(6);
        float[][] z = new float[90][75];
        for (float[] column : z) for (int i = 0; i < column.length; i++) column[i] = (float) Gaussian.next(random);
        double[] weight = random.doubles(75, 0.01, 0.25).toArray();
        WeightedGram gram = new WeightedGram(z, weight);
        gram.join(IntStream.range(0, 63).map(j -> 89 - j).toArray());
        gram.join(IntStream.range(0, 20).toArray());
        int[] members = gram.members();
        assertThat(members).hasSize(83);
        for (int a = 0; a < members.length; a++)
            for (int b = 0; b < members.length; b++) {
                double sum = 0;
                for (int i = 0; i < 75; i++) sum += weight[i] * z[members[a]][i] * z[members[b]][i] / 75;
                assertThat(gram.row(a)[b]).isCloseTo(sum, within(1e-6));
            }
    }

    // Oracle: by hand from p_i = i/21 and 20 invented outcomes, computed by two routes outside.
    @Test
    void scoresOfPredictions() {
        int[] y = {0, 0, 0, 1, 0, 0, 0, 1, 0, 1, 0, 1, 1, 0, 1, 1, 1, 0, 1, 1};
        double[] p = IntStream.rangeClosed(1, 20).mapToDouble(i -> i / 21.0).toArray();
        Calibration calibration = Calibration.of(p, booleans(y));
        assertThat(calibration.brier()).isCloseTo(0.18730158730, within(1e-10));
        assertThat(calibration.logarithmicLoss()).isCloseTo(0.55179973936, within(1e-10));
        assertThat(Roc.of(p, booleans(y)).auc()).isCloseTo(0.79, within(1e-12));
    }

    // Oracle: probabilities drawn from a known line: predictions that are twice as bold have half the slope.
    @Test
    void boldPredictionsHaveASmallSlope() {
        SplittableRandom random = new SplittableRandom(1);
        double[] p = new double[20_000];
        boolean[] y = new boolean[p.length];
        for (int i = 0; i < p.length; i++) {
            double logit = Gaussian.next(random);
            y[i] = random.nextDouble() < SparseLogistic.sigmoid(logit);
            p[i] = SparseLogistic.sigmoid(2 * logit);
        }
        Calibration calibration = Calibration.of(p, y);
        assertThat(calibration.slope()).isCloseTo(0.5, within(0.03));
        assertThat(calibration.intercept()).isCloseTo(0, within(0.05));
    }

    // Oracle: simulated sites with known shift and scale; what is left after harmonising is sampling error, 1/√400.
    @Test
    void sitesComeToOneLocationAndScale() {
        int perSite = 400;
        double[][] columns = new double[30][2 * perSite];
        List<String> site = new ArrayList<>();
        SplittableRandom random = new SplittableRandom(2);
        for (int i = 0; i < 2 * perSite; i++) site.add(i < perSite ? "a" : "b");
        for (int j = 0; j < columns.length; j++)
            for (int i = 0; i < columns[j].length; i++)
                columns[j][i] = 100 * j + (i < perSite ? Gaussian.next(random) : 3 + j % 3 + 2 * Gaussian.next(random));
        Harmonisation fit = Harmonisation.fit(columns, site);
        for (int j = 0; j < columns.length; j++) {
            double[] moments = moments(fit, columns, site, j);
            assertThat(moments[0]).as("difference of means").isCloseTo(0, within(0.25));
            assertThat(moments[1]).as("ratio of deviations").isCloseTo(1, within(0.1));
        }
        assertThat(fit.knows("c")).isFalse();
        assertThat(fit.apply(new double[30], "c")).containsOnly(0);
    }

    @Test
    void groupsAreNeverSplitAndPositivesAreSpread() {
        List<String> group = IntStream.range(0, 60).mapToObj(i -> "g" + i / 4).toList();
        boolean[] positive = new boolean[60];
        for (int i = 0; i < 60; i++) positive[i] = i % 12 == 0;
        Folds folds = Folds.deal(group, positive, 5, new Seed(4));
        for (int i = 0; i < 60; i++)
            assertThat(folds.of().get(i)).isEqualTo(folds.of().get(i - i % 4));
        for (int fold = 0; fold < 5; fold++) {
            int count = 0;
            for (int i : folds.cases(fold, true)) if (positive[i]) count++;
            assertThat(count).isEqualTo(1);
        }
        assertThat(Folds.deal(List.of("a", "a", "b"), new boolean[3], 5, new Seed(1))
                        .count())
                .isEqualTo(2);
    }

    // Oracle: by hand: 19 positives and 41 negatives on 5 folds make 12 cases each, 3 or 4 of them positive.
    @Test
    void negativesAreSpreadWhereThePositivesDoNotComeOutEven() {
        boolean[] positive = new boolean[60];
        for (int i = 0; i < 19; i++) positive[3 * i] = true;
        List<String> group = IntStream.range(0, 60).mapToObj(i -> "g" + i).toList();
        Folds folds = Folds.deal(group, positive, 5, new Seed(4));
        for (int fold = 0; fold < 5; fold++) {
            int[] cases = folds.cases(fold, true);
            assertThat(cases).hasSize(12);
            assertThat(Arrays.stream(cases).filter(i -> positive[i]).count()).isBetween(3L, 4L);
        }
    }

    // Oracle: pure noise has an AUC of ½ on cases not seen; standard error about 0.05 here.
    @Test
    void noiseIsNotMistakenForSignal() {
        NestedValidation.Cases noise = simulated(120, 40, 0);
        NestedValidation.Result result =
                NestedValidation.run(noise, NestedValidation.Settings.standard(), Workers.SINGLE, Progress.NONE);
        double[] p =
                result.predicted().stream().mapToDouble(Double::doubleValue).toArray();
        assertThat(Roc.of(p, noise.positive()).auc()).isBetween(0.3, 0.65);
    }

    // Oracle: one feature shifted by 2 standard deviations: AUC Φ(2/√2) = 0.921.
    @Test
    void aRealSignalIsFoundTheSameForAnyNumberOfThreads() {
        NestedValidation.Cases cases = simulated(300, 40, 2);
        NestedValidation.Settings settings = NestedValidation.Settings.standard();
        NestedValidation.Result result = NestedValidation.run(cases, settings, Workers.SINGLE, Progress.NONE);
        double[] p =
                result.predicted().stream().mapToDouble(Double::doubleValue).toArray();
        assertThat(Roc.of(p, cases.positive()).auc()).isCloseTo(0.921, within(0.04));
        assertThat(result.chosen().get(0)).isEqualTo(5);
        try (Workers three = Workers.of(3)) {
            assertThat(NestedValidation.run(cases, settings, three, Progress.NONE))
                    .isEqualTo(result);
        }
    }

    @Test
    void validationsSideBySideAreThoseOfEachAlone() {
        NestedValidation.Cases some = simulated(200, 20, 2);
        NestedValidation.Cases fewer = some.share(0.5);
        NestedValidation.Settings settings = NestedValidation.Settings.standard();
        assertThat(NestedValidation.run(List.of(some, fewer), settings, Workers.SINGLE, Progress.NONE))
                .containsExactly(
                        NestedValidation.run(some, settings, Workers.SINGLE, Progress.NONE),
                        NestedValidation.run(fewer, settings, Workers.SINGLE, Progress.NONE));
    }

    // Oracle: with as many cases as here the best cut of two normals at 0 and 2 lies near 1, and that with a
    // sensitivity of
    // 0.9 near 2 − 1.28 = 0.72, with a standard error of √(0.9 · 0.1/67)/φ(1.28) = 0.21: two of them for these cases,
    // two
    // for the interval.
    @Test
    void cutsHaveIntervalsAndTheirPromiseIsTooGood() {
        NestedValidation.Cases cases = simulated(200, 1, 2);
        CutBootstrap cut = CutBootstrap.of(cases.columns()[0], cases.positive(), 0.9, 400, new Seed(1));
        assertThat(cut.youden().interval().orElseThrow().low()).isBetween(0.0, 1.1);
        assertThat(cut.youden().interval().orElseThrow().high()).isBetween(0.9, 2.0);
        assertThat(cut.youden().optimism()).isBetween(0.0, 0.1);
        assertThat(cut.atSensitivity().interval().orElseThrow().low()).isBetween(-0.12, 0.72);
        assertThat(cut.atSensitivity().interval().orElseThrow().high()).isBetween(0.3, 1.56);
        assertThat(cut.atSensitivity().optimism()).isBetween(-0.02, 0.1);
    }

    // Oracle: the cut-off of each draw, chosen by the curve of the cases that were drawn.
    @Test
    void cutsOfADrawAreThoseOfItsCurve() {
        double[] scores = {1, 2, 2, 3, 4, 4, 5, 6, 7, 8};
        boolean[] positive = {false, false, true, false, true, false, true, false, true, true};
        CutBootstrap cut = CutBootstrap.of(scores, positive, 0.8, 1, new Seed(3));
        SplittableRandom random = new Seed(3).draw(0);
        int[] yes = {2, 4, 6, 8, 9};
        int[] no = {0, 1, 3, 5, 7};
        double[] drawn = new double[10];
        for (int i = 0; i < 5; i++) drawn[i] = scores[yes[random.nextInt(5)]];
        for (int i = 5; i < 10; i++) drawn[i] = scores[no[random.nextInt(5)]];
        boolean[] first = {true, true, true, true, true, false, false, false, false, false};
        Roc roc = Roc.of(drawn, first);
        Roc all = Roc.of(scores, positive);
        for (boolean best : new boolean[] {true, false}) {
            Roc.Cut chosen = best ? roc.youden() : roc.atSensitivity(0.8);
            CutBootstrap.OfCut found = best ? cut.youden() : cut.atSensitivity();
            double below = Arrays.stream(drawn)
                    .filter(score -> score < chosen.threshold())
                    .max()
                    .orElse(Double.NEGATIVE_INFINITY);
            Roc.Cut same = all.cuts().stream()
                    .filter(c -> c.threshold() > below || c.threshold() == chosen.threshold())
                    .findFirst()
                    .orElseThrow();
            assertThat(found.optimism()).isCloseTo(chosen.youden() - same.youden(), within(1e-12));
        }
    }

    @Test
    void oneClassIsRefused() {
        assertThatThrownBy(() -> SparseLogistic.path(new double[1][3], new boolean[3], new double[] {1}))
                .hasMessage("positive must hold both kinds, got 0 positive of 3");
    }

    // In blocks of ten, each with a share of its variance in common; one of each of the first eight blocks tells
    // something.
    private static NestedValidation.Cases hangingTogether(int n, int features, double shared) {
        SplittableRandom random = new SplittableRandom(11);
        double[][] columns = new double[features][n];
        boolean[] positive = new boolean[n];
        for (int i = 0; i < n; i++) {
            double block = 0;
            for (int j = 0; j < features; j++) {
                if (j % 10 == 0) block = Gaussian.next(random);
                columns[j][i] = 3 + Math.sqrt(shared) * block + Math.sqrt(1 - shared) * Gaussian.next(random);
            }
            double logit = -1;
            for (int j = 0; j < 80; j += 10) logit += (j % 20 == 0 ? 0.6 : -0.6) * (columns[j][i] - 3);
            positive[i] = random.nextDouble() < SparseLogistic.sigmoid(logit);
        }
        List<String> names = IntStream.range(0, n).mapToObj(Integer::toString).toList();
        return new NestedValidation.Cases(columns, positive, names, names);
    }

    // By how much the worst of the conditions of a minimum is missed, features having variance 1.
    private static double farFromTheMinimum(SparseLogistic.Model model, NestedValidation.Cases cases) {
        int n = cases.positive().length;
        double[] residual = new double[n];
        for (int i = 0; i < n; i++) {
            double[] row = new double[cases.columns().length];
            for (int j = 0; j < row.length; j++) row[j] = cases.columns()[j][i];
            residual[i] = (cases.positive()[i] ? 1 : 0) - model.probability(row);
        }
        double worst = Math.abs(Arrays.stream(residual).average().orElseThrow());
        for (int j = 0; j < cases.columns().length; j++) {
            double[] column = cases.columns()[j];
            double mean = Arrays.stream(column).average().orElseThrow();
            double deviation = Math.sqrt(Arrays.stream(column)
                    .map(x -> (x - mean) * (x - mean))
                    .average()
                    .orElseThrow());
            double pull = 0;
            for (int i = 0; i < n; i++) pull += (column[i] - mean) / deviation * residual[i] / n;
            double b = model.coefficients().get(j);
            double missed = b == 0 ? Math.abs(pull) - model.lambda() : Math.abs(pull - Math.signum(b) * model.lambda());
            worst = Math.max(worst, missed);
        }
        return worst;
    }

    private static NestedValidation.Cases simulated(int n, int features, double shift) {
        SplittableRandom random = new SplittableRandom(9);
        boolean[] positive = new boolean[n];
        for (int i = 0; i < n; i++) positive[i] = i % 3 == 0;
        double[][] columns = new double[features][n];
        for (int j = 0; j < features; j++)
            for (int i = 0; i < n; i++) columns[j][i] = Gaussian.next(random) + (j == 0 && positive[i] ? shift : 0);
        List<String> names = IntStream.range(0, n).mapToObj(Integer::toString).toList();
        return new NestedValidation.Cases(
                columns,
                positive,
                names,
                IntStream.range(0, n).mapToObj(i -> "site").toList());
    }

    private static double[] moments(Harmonisation fit, double[][] columns, List<String> site, int j) {
        double[] sum = new double[2];
        double[] square = new double[2];
        for (int i = 0; i < site.size(); i++) {
            double[] row = new double[columns.length];
            for (int k = 0; k < row.length; k++) row[k] = columns[k][i];
            double v = fit.apply(row, site.get(i))[j];
            int at = site.get(i).equals("a") ? 0 : 1;
            sum[at] += v / 400;
            square[at] += v * v / 400;
        }
        return new double[] {sum[0] - sum[1], Math.sqrt((square[0] - sum[0] * sum[0]) / (square[1] - sum[1] * sum[1]))};
    }

    private static double[][] columns() {
        double[][] x = new double[4][N];
        for (int i = 0; i < N; i++) {
            x[0][i] = Math.sin(i * 1.7) * 3 + i * 0.2;
            x[1][i] = Math.cos(i * 0.9) + 0.05 * i * i % 7;
            x[2][i] = i * 7 % 11 - 5.0;
            x[3][i] = Math.sin(i * 2.3);
        }
        return x;
    }

    private static boolean[] classes() {
        return booleans(new int[] {1, 1, 1, 0, 0, 1, 0, 0, 1, 0, 1, 0, 1, 1, 0, 1, 1, 0, 1, 1, 1, 1, 1, 1});
    }

    private static boolean[] booleans(int[] y) {
        boolean[] b = new boolean[y.length];
        for (int i = 0; i < b.length; i++) b[i] = y[i] == 1;
        return b;
    }

    private static void expect(SparseLogistic.Model model, double intercept, double... coefficients) {
        assertThat(model.intercept()).isCloseTo(intercept, within(2e-4));
        double[] ours =
                model.coefficients().stream().mapToDouble(Double::doubleValue).toArray();
        assertThat(ours).as(Arrays.toString(ours)).containsExactly(coefficients, within(3e-4));
    }
}
