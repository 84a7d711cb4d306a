// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;

/** Numbers as text of at most 16 characters, as exact as these allow (PS3.5 6.2, DS). */
final class DecimalText {
    private static final int LONGEST = 16;

    private DecimalText() {}

    static String of(double value) {
        if (!Double.isFinite(value)) throw new IllegalArgumentException("value must be finite, got " + value);
        if (value == Math.rint(value) && Math.abs(value) < 1e15) return Long.toString((long) value);
        for (int digits = 17; ; digits--) {
            BigDecimal rounded = new BigDecimal(value).round(new MathContext(digits, RoundingMode.HALF_EVEN));
            String plain = rounded.stripTrailingZeros().toPlainString();
            String shortest = rounded.stripTrailingZeros().toString();
            String text = plain.length() <= LONGEST ? plain : shortest;
            if (text.length() <= LONGEST) return text;
        }
    }
}
