// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

/** ln of all whole numbers that scanners write, from a table; of others, computed. */
final class Logarithm {
    private static final int MASK = (1 << 16) - 1;
    private static final double[] TABLE = new double[MASK + 1];

    private Logarithm() {}

    static {
        for (int i = 0; i < TABLE.length; i++) TABLE[i] = Math.log(i);
    }

    static double of(float s) {
        int whole = (int) s & MASK;
        return whole == s ? TABLE[whole] : Math.log(s);
    }
}
