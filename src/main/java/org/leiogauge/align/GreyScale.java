// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Arrays;

/**
 * Grey levels between the 0.5 % and the 99.5 % percentile of some values; what lies beyond is clamped.
 *
 * @param low in the image's unit
 * @param high in the image's unit; equal to {@code low} for a flat image
 */
record GreyScale(double low, double high) {
    private static final double TAIL = 0.005;
    private static final int ENOUGH = 50_000;

    /** Percentiles of at most some ten thousand of the values, evenly over them; finite ones, at least one. */
    static GreyScale of(float[] values) {
        int step = Math.max(1, values.length / ENOUGH);
        float[] some = new float[(values.length + step - 1) / step];
        for (int i = 0; i < some.length; i++) some[i] = values[i * step];
        Arrays.sort(some);
        return new GreyScale(
                some[(int) (TAIL * (some.length - 1))], some[(int) Math.ceil((1 - TAIL) * (some.length - 1))]);
    }

    /** 0 for low and below, 1 for high and above; 0 for all in a flat image. */
    double share(double value) {
        return high > low ? Math.max(0, Math.min(1, (value - low) / (high - low))) : 0;
    }
}
