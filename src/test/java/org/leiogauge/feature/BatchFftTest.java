// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Random;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.params.ParameterizedTest;
import org.junit.jupiter.params.provider.ValueSource;

class BatchFftTest {
    private static final int LINES = 3;

    // Oracle: the definition, summed term by term.
    @ParameterizedTest
    @ValueSource(ints = {1, 2, 3, 4, 5, 8, 12, 15, 20, 36, 60, 100, 128, 180, 300})
    void everyLengthIsTheDefinitions(int length) {
        double[][] x = random(length, length);
        BatchFft.Field field = field(x, length);
        new BatchFft(length).transform(field, LINES);
        assertTransformed(field, x, length);
    }

    @ParameterizedTest
    @ValueSource(ints = {4, 12, 20, 60, 80, 320})
    void halfFilledLinesAreThoseWithZerosBehind(int length) {
        for (int filled : new int[] {1, length / 2 - 1, length / 2}) {
            double[][] x = random(length, filled);
            // What stands behind the filled half is not looked at.
            BatchFft.Field field = field(x, length);
            for (int i = length / 2 * LINES; i < length * LINES; i++) field.re[i] = 99;
            new BatchFft(length).transformHalf(field, LINES, filled);
            assertTransformed(field, x, length);
        }
    }

    // Oracle: counted by hand, 16 = 4 · 4, 300 = 4 · 3 · 5 · 5 and so on.
    @Test
    void lengthsAreTheLeastProductsThatFit() {
        assertThat(BatchFft.lengthForTwice(1)).isEqualTo(4);
        assertThat(BatchFft.lengthForTwice(7)).isEqualTo(16);
        assertThat(BatchFft.lengthForTwice(10)).isEqualTo(20);
        assertThat(BatchFft.lengthForTwice(39)).isEqualTo(80);
        assertThat(BatchFft.lengthForTwice(149)).isEqualTo(300);
    }

    private static void assertTransformed(BatchFft.Field field, double[][] x, int length) {
        for (int line = 0; line < LINES; line++)
            for (int k = 0; k < length; k++) {
                double re = 0;
                double im = 0;
                for (int n = 0; n < length; n++) {
                    double angle = -2 * Math.PI * ((long) n * k % length) / length;
                    double a = x[0][n * LINES + line];
                    double b = x[1][n * LINES + line];
                    re += a * Math.cos(angle) - b * Math.sin(angle);
                    im += a * Math.sin(angle) + b * Math.cos(angle);
                }
                assertThat(field.re[k * LINES + line]).isCloseTo(re, within(1e-11));
                assertThat(field.im[k * LINES + line]).isCloseTo(im, within(1e-11));
            }
    }

    private static BatchFft.Field field(double[][] x, int length) {
        BatchFft.Field field = new BatchFft.Field(length * LINES);
        System.arraycopy(x[0], 0, field.re, 0, length * LINES);
        System.arraycopy(x[1], 0, field.im, 0, length * LINES);
        return field;
    }

    private static double[][] random(int length, int filled) {
        Random random = new Random(length);
        double[][] x = new double[2][length * LINES];
        for (double[] part : x) for (int i = 0; i < filled * LINES; i++) part[i] = random.nextDouble() - 0.5;
        return x;
    }
}
