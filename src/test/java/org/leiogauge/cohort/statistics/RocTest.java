// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class RocTest {
    // Data: 12 invented cases, two scores; the first has a tie across the classes.
    private static final boolean[] CLASS = {false, false, false, false, false, false, true, true, true, true, true, true
    };
    private static final double[] A = {1, 2, 3, 4, 5, 3.5, 3, 6, 7, 4.5, 8, 5.5};
    private static final double[] B = {2, 1, 4, 3, 6, 5, 2.5, 5.5, 6.5, 7, 3.5, 8};

    // Oracle: R package pROC 1.18.0: AUCs, DeLong variances, interval cut to 1.
    @Test
    void areaAndItsVarianceMatchDeLong() {
        Roc a = Roc.of(A, CLASS);
        Roc b = Roc.of(B, CLASS);
        assertThat(a.auc()).isCloseTo(0.875, within(1e-12));
        assertThat(b.auc()).isCloseTo(0.777777777778, within(1e-11));
        assertThat(a.variance()).isCloseTo(0.0118055555556, within(1e-11));
        assertThat(b.variance()).isCloseTo(0.020987654321, within(1e-11));
        assertThat(a.estimate().interval().orElseThrow().low()).isCloseTo(0.662043301, within(1e-8));
        assertThat(a.estimate().interval().orElseThrow().high()).isEqualTo(1);
        assertThat(b.estimate().interval().orElseThrow().low()).isCloseTo(0.493835513, within(1e-8));
        assertThat(b.estimate().interval().orElseThrow().high()).isEqualTo(1);
    }

    // Oracle: R package pROC 1.18.0, paired test.
    @Test
    void pairedComparisonMatchesDeLong() {
        Roc.Comparison comparison = Roc.of(A, CLASS).against(Roc.of(B, CLASS));
        assertThat(comparison.difference()).isCloseTo(0.097222222222, within(1e-10));
        assertThat(comparison.z()).isCloseTo(0.945600647177, within(1e-9));
        assertThat(comparison.p()).isCloseTo(0.344352314032, within(1e-9));
    }

    // Oracle: R package pROC 1.18.0: of two equal optima (5.25 and 6.25) the lower is taken.
    @Test
    void youdenTakesTheLowerOfTwoEqualCuts() {
        Roc.Cut cut = Roc.of(B, CLASS).youden();
        assertThat(cut.threshold()).isEqualTo(5.25);
        assertThat(cut.sensitivity()).isCloseTo(0.6667, within(1e-4));
        assertThat(cut.specificity()).isCloseTo(0.8333, within(1e-4));
    }

    // Oracle: Hanley and McNeil 1982, 109 images with five grades; AUC 0.893; DeLong's standard error by pROC 1.18.0.
    @Test
    void gradesWithManyTies() {
        int[] normal = {33, 6, 6, 11, 2};
        int[] abnormal = {3, 2, 2, 11, 33};
        List<Double> scores = new ArrayList<>();
        List<Boolean> classes = new ArrayList<>();
        for (int grade = 0; grade < 5; grade++) {
            for (int i = 0; i < normal[grade]; i++) add(scores, classes, grade, false);
            for (int i = 0; i < abnormal[grade]; i++) add(scores, classes, grade, true);
        }
        Roc roc = Roc.of(scores.stream().mapToDouble(Double::doubleValue).toArray(), booleans(classes));
        assertThat(roc.auc()).isCloseTo(0.8931710615, within(1e-9));
        assertThat(Math.sqrt(roc.variance())).isCloseTo(0.03072440838, within(1e-9));
        assertThat(roc.estimate().interval().orElseThrow().low()).isCloseTo(0.8329523277, within(1e-8));
        assertThat(roc.estimate().interval().orElseThrow().high()).isCloseTo(0.9533897954, within(1e-8));
    }

    // Oracle: closed form of Hanley and McNeil 1982 for their 51 abnormal and 58 normal images, worked out outside.
    @Test
    void errorToExpectMatchesHanleyAndMcNeil() {
        assertThat(Roc.expectedError(0.8931710615, 51, 58)).isCloseTo(0.03248657961, within(1e-9));
    }

    // Oracle: SciPy 1.10.1, mannwhitneyu(..., method='asymptotic', use_continuity=True).
    @Test
    void rankSumTestCorrectsForTies() {
        assertThat(Roc.of(A, CLASS).rankSumP()).isCloseTo(0.037040730591937965, within(1e-9));
    }

    @Test
    void separatedClassesHaveNoInterval() {
        Roc roc = Roc.of(new double[] {1, 2, 3, 4, 5, 6}, new boolean[] {false, false, false, true, true, true});
        assertThat(roc.auc()).isEqualTo(1);
        assertThat(roc.variance()).isZero();
        assertThat(roc.estimate().interval()).isEmpty();
    }

    // Oracle: brute force over all pairs.
    @Test
    void areaIsTheShareOfPairsInOrder() {
        java.util.SplittableRandom random = new java.util.SplittableRandom(3);
        double[] scores = new double[200];
        boolean[] positive = new boolean[200];
        for (int i = 0; i < scores.length; i++) {
            scores[i] = random.nextInt(30);
            positive[i] = random.nextInt(4) == 0;
        }
        double wins = 0;
        double pairs = 0;
        for (int i = 0; i < scores.length; i++)
            for (int j = 0; j < scores.length; j++)
                if (positive[i] && !positive[j]) {
                    pairs++;
                    wins += scores[i] > scores[j] ? 1 : scores[i] == scores[j] ? 0.5 : 0;
                }
        assertThat(Roc.of(scores, positive).auc()).isCloseTo(wins / pairs, within(1e-12));
    }

    @Test
    void cutAtASensitivityKeepsIt() {
        Roc.Cut cut = Roc.of(A, CLASS).atSensitivity(0.9);
        assertThat(cut.sensitivity()).isEqualTo(1);
        assertThat(cut.threshold()).isEqualTo(2.5);
    }

    // Oracle: by hand: above 1 and above 2 are as specific; the lower cut misses fewer.
    @Test
    void aSensitivityIsNotGivenAwayForNothing() {
        Roc.Cut cut = Roc.of(new double[] {0, 1, 2, 3, 4}, new boolean[] {false, true, true, false, true})
                .atSensitivity(0.3);
        assertThat(cut.threshold()).isEqualTo(3.5);
        Roc.Cut early = Roc.of(new double[] {0, 1, 2, 3}, new boolean[] {false, true, true, true})
                .atSensitivity(0.3);
        assertThat(early.threshold()).isEqualTo(0.5);
        assertThat(early.sensitivity()).isEqualTo(1);
    }

    @Test
    void oneClassIsRefused() {
        assertThatThrownBy(() -> Roc.of(new double[] {1, 2}, new boolean[] {true, true}))
                .hasMessage("positive must hold both kinds, got 2 positive and 0 negative");
    }

    private static void add(List<Double> scores, List<Boolean> classes, int grade, boolean positive) {
        scores.add((double) grade);
        classes.add(positive);
    }

    private static boolean[] booleans(List<Boolean> list) {
        boolean[] array = new boolean[list.size()];
        for (int i = 0; i < array.length; i++) array[i] = list.get(i);
        return array;
    }
}
