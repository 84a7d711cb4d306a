// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;

/**
 * One of many numbers by its rank, without sorting them all: they are counted by their leading 16 bits, which ascend with
 * the number, and only those that share these with the one looked for are sorted.
 *
 * <p>Cost: two passes.
 */
final class OrderStatistic {
    private static final int SHIFT = 48;

    private OrderStatistic() {}

    /**
     * @param numbers 0 or more each, not NaN; stay as they are
     * @param rank 0 for the smallest
     */
    static double of(double[] numbers, int rank) {
        int[] counts = new int[1 << 16];
        for (double v : numbers) counts[leading(v)]++;
        int wanted = 0;
        int below = 0;
        while (below + counts[wanted] <= rank) below += counts[wanted++];
        double[] alike = new double[counts[wanted]];
        int n = 0;
        for (double v : numbers) if (leading(v) == wanted) alike[n++] = v;
        Arrays.sort(alike);
        return alike[rank - below];
    }

    private static int leading(double v) {
        return (int) (Double.doubleToRawLongBits(v) >>> SHIFT);
    }
}
