// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

/**
 * ln of short numbers from a table: from 1 to under 65536, with at most 12 binary digits that count, as all whole
 * numbers to 4096 have.
 *
 * <p>The last 12 bits of such a float are 0; the bits before them, less those of 1, are its place. That needs no whole
 * number made of a float, which takes longer than the look-up.
 */
final class ShortLogarithm {
    private static final int ONE = Float.floatToRawIntBits(1);
    private static final int TAIL = 12;
    private static final double[] TABLE = new double[1 << 15];
    private static final int OUTSIDE = ~(TABLE.length - 1 << TAIL);

    private ShortLogarithm() {}

    static {
        for (int i = 0; i < TABLE.length; i++) TABLE[i] = Math.log(Float.intBitsToFloat(ONE + (i << TAIL)));
    }

    static int place(float s) {
        return Float.floatToRawIntBits(s) - ONE;
    }

    /** @param places one, or several joined by or */
    static boolean has(int places) {
        return (places & OUTSIDE) == 0;
    }

    static double at(int place) {
        return TABLE[place >>> TAIL & TABLE.length - 1];
    }
}
