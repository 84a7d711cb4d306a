// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.util.OptionalDouble;

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

    /** The value, if there is one. */
    OptionalDouble number();

    /** The value in full double precision; empty if there is none. */
    default String text() {
        return number().isPresent() ? Double.toString(number().getAsDouble()) : "";
    }

    /** Why there is no value; empty if there is one. */
    String reason();

    /** A value; finite. */
    record Measured(double value) implements Measurement {
        public Measured {
            if (!Double.isFinite(value)) throw new IllegalArgumentException("value must be finite, got " + value);
        }

        @Override
        public OptionalDouble number() {
            return OptionalDouble.of(value);
        }

        @Override
        public String reason() {
            return "";
        }
    }

    /** No value. */
    record NotMeasured(String reason) implements Measurement {
        public NotMeasured {
            if (reason.isBlank()) throw new IllegalArgumentException("reason must be given");
        }

        @Override
        public OptionalDouble number() {
            return OptionalDouble.empty();
        }
    }
}
