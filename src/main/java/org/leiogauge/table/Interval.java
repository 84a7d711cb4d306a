// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/** Between which values a measurement moved when outline, noise and alignment moved a little; in the measurement's unit. */
public record Interval(double low, double high) {
    public Interval {
        if (!(low <= high)) throw new IllegalArgumentException("low must not exceed high, got " + low + " and " + high);
    }
}
