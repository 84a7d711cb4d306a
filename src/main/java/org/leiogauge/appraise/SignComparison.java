// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import org.leiogauge.appraise.Lexicon.Sign;

/**
 * One sign as a reader called it, beside what was measured of it.
 *
 * @param entry which of the reader's impressions, from 1; the first is the blind one
 * @param term what the reader called it
 */
public record SignComparison(int entry, String term, SignReading reading, Agreement agreement) {

    /** Whether eye and measurement say the same. */
    public enum Agreement {
        AGREES("agrees"),
        DIFFERS("differs"),
        NOT_MEASURED("not measured");

        private final String text;

        Agreement(String text) {
            this.text = text;
        }

        @Override
        public String toString() {
            return text;
        }
    }

    public Sign sign() {
        return reading.sign();
    }

    static SignComparison of(int entry, String term, SignReading reading) {
        Agreement agreement = !reading.isMeasured()
                ? Agreement.NOT_MEASURED
                : reading.terms().contains(term) ? Agreement.AGREES : Agreement.DIFFERS;
        return new SignComparison(entry, term, reading, agreement);
    }
}
