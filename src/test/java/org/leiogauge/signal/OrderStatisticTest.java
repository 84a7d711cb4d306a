// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class OrderStatisticTest {
    // Oracle: the JDK's sort.
    @Test
    void isWhatSortingPutsThere() {
        SplittableRandom random = new SplittableRandom(3);
        for (int trial = 0; trial < 200; trial++) {
            double[] numbers = new double[1 + random.nextInt(300)];
            for (int i = 0; i < numbers.length; i++)
                numbers[i] = random.nextInt(4) == 0 ? random.nextInt(3) : Math.exp(40 * random.nextDouble() - 20);
            double[] sorted = numbers.clone();
            Arrays.sort(sorted);
            int rank = random.nextInt(numbers.length);
            assertEquals(sorted[rank], OrderStatistic.of(numbers, rank), 0.0);
        }
    }

    // Oracle: by definition.
    @Test
    void ofOneNumberIsThatNumber() {
        assertEquals(0, OrderStatistic.of(new double[] {0.0}, 0), 0.0);
        assertEquals(Double.POSITIVE_INFINITY, OrderStatistic.of(new double[] {1, Double.POSITIVE_INFINITY}, 1), 0.0);
    }
}
