// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.util.function.LongToDoubleFunction;

/**
 * A percentile of some values, linear between order statistics.
 *
 * <p>x(k) + (r − k) (x(k + 1) − x(k)), r = share · (n − 1), k = ⌊r⌋, x(0) to x(n − 1) the values from low to high; NaN for
 * no values.
 *
 * <p>Source: Hyndman and Fan 1996, doi:10.1080/00031305.1996.10473566, definition 7.
 */
public final class Percentile {
    private Percentile() {}

    /** @param share 0 to 1 */
    public static double of(double[] ascending, double share) {
        return of(ascending.length, k -> ascending[(int) k], share);
    }

    /**
     * Of values that do not lie in an array.
     *
     * @param ascending the value of a rank, from 0
     * @param share 0 to 1
     */
    public static double of(long count, LongToDoubleFunction ascending, double share) {
        if (count == 0) return Double.NaN;
        double rank = share * (count - 1);
        long below = (long) rank;
        double low = ascending.applyAsDouble(below);
        double high = ascending.applyAsDouble(Math.min(below + 1, count - 1));
        return low + (rank - below) * (high - low);
    }
}
