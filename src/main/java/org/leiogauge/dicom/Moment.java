// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.Optional;
import java.util.OptionalDouble;
import java.util.regex.Matcher;
import java.util.regex.Pattern;

/** Times as seconds of the day. Source: PS3.5 6.2, TM and DT. */
final class Moment {
    private static final Pattern TIME = Pattern.compile("(\\d\\d):?(\\d\\d)?:?(\\d\\d(?:\\.\\d{1,6})?)?");
    private static final Pattern DATE_TIME = Pattern.compile("\\d{8}(\\d{2}[\\d.]*)(?:[+-]\\d{4})?");

    private Moment() {}

    static OptionalDouble ofTime(Optional<String> text) {
        Matcher match = TIME.matcher(text.orElse(""));
        if (!match.matches()) return OptionalDouble.empty();
        return OptionalDouble.of(part(match, 1) * 3600 + part(match, 2) * 60 + part(match, 3));
    }

    static OptionalDouble ofDateTime(Optional<String> text) {
        Matcher match = DATE_TIME.matcher(text.orElse(""));
        return match.matches() ? ofTime(Optional.of(match.group(1))) : OptionalDouble.empty();
    }

    private static double part(Matcher match, int group) {
        return match.group(group) == null ? 0 : Double.parseDouble(match.group(group));
    }
}
