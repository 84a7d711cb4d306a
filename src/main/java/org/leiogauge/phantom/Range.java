// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/** Checks of settings: each says the key, the value and the allowed range. */
final class Range {
    private Range() {}

    static double check(String key, double value, double min, double max) {
        if (!(value >= min && value <= max))
            throw new IllegalArgumentException(key + " must be " + min + " to " + max + ", got " + value);
        return value;
    }

    static int check(String key, int value, int min, int max) {
        if (value < min || value > max)
            throw new IllegalArgumentException(key + " must be " + min + " to " + max + ", got " + value);
        return value;
    }
}
