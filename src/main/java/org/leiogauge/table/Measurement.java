// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

/** What measuring gave: a value, or the reason why there is none. Its unit stands in the {@link Definition}. */
public sealed interface Measurement {
    /**
     * The value if it is a finite number, else not measured for the reason given: a formula's 0/0 becomes a note.
     *
     * @param reason why a value that is not finite is undefined
     */
    static Measurement of(double value, String reason) {
        return Double.isFinite(value) ? new Measured(value) : new NotMeasured(reason);
    }

    /** A value; finite. */
    record Measured(double value) implements Measurement {
        public Measured {
            if (!Double.isFinite(value)) throw new IllegalArgumentException("value must be finite, got " + value);
        }
    }

    /** No value. */
    record NotMeasured(String reason) implements Measurement {
        public NotMeasured {
            if (reason.isBlank()) throw new IllegalArgumentException("reason must be given");
        }
    }
}
