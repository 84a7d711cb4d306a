// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/** Between which values what is measured is taken to lie, as the dictionary says; in the measurement's unit. */
public record Interval(double low, double high) {
    public Interval {
        if (!(low <= high)) throw new IllegalArgumentException("low must not exceed high, got " + low + " and " + high);
    }
}
