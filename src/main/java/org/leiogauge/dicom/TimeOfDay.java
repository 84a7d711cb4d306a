// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Times as DICOM writes them, {@code HHMMSS.FFFFFF} (PS3.5 6.2, TM). */
final class TimeOfDay {
    private static final Pattern FORM = Pattern.compile("(\\d\\d):?(\\d\\d):?(\\d\\d(?:\\.\\d{1,6})?).*");

    private TimeOfDay() {}

    /** Seconds since midnight; none if the text is no time to the second. */
    static OptionalDouble seconds(String text) {
        Matcher time = FORM.matcher(text);
        return time.matches()
                ? OptionalDouble.of(3600 * Integer.parseInt(time.group(1))
                        + 60 * Integer.parseInt(time.group(2))
                        + Double.parseDouble(time.group(3)))
                : OptionalDouble.empty();
    }
}
