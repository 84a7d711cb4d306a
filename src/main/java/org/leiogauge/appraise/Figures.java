// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.Locale;
import org.leiogauge.table.Interval;

/** How figures are written for reading: few digits, decimal point, a thin gap between thousands. */
final class Figures {
    private Figures() {}

    /** Four significant digits; powers of ten where plain ones would need a row of zeros. */
    static String digits(double value) {
        BigDecimal rounded = new BigDecimal(value).round(new MathContext(4)).stripTrailingZeros();
        boolean plain = value == 0 || (Math.abs(value) >= 1e-6 && Math.abs(value) < 1e9);
        return plain ? rounded.toPlainString() : rounded.toString();
    }

    /** A share as percent: two digits that count, from whichever end is nearer; never 0 or 100 unless it is. */
    static String percent(double share) {
        double percent = 100 * share;
        if (percent == 0 || percent == 100) return String.format(Locale.ROOT, "%.0f %%", percent);
        if (percent < 1e-3) return "< 0.001 %";
        if (percent > 99.95) return "> 99.9 %";
        if (percent > 99 || percent < 9.95)
            return new BigDecimal(percent)
                            .round(new MathContext(percent > 99 ? 3 : 2))
                            .stripTrailingZeros()
                            .toPlainString()
                    + " %";
        return Math.round(percent) + " %";
    }

    static String percent(Interval interval) {
        return percent(interval.low()).replace(" %", "") + " to " + percent(interval.high());
    }

    /** A whole number with gaps: 10 000. */
    static String whole(long number) {
        return String.format(Locale.ROOT, "%,d", number).replace(',', ' ');
    }
}
