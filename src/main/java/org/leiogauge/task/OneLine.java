// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.regex.Pattern;

/** Text from a file made fit for a line of a message, a log or a terminal. */
public final class OneLine {
    // Control characters break lines and drive terminals; direction overrides make a line read otherwise than it is.
    private static final Pattern HARMFUL = Pattern.compile("[\\p{C}\\p{Zl}\\p{Zp}]");

    private OneLine() {}

    /** The text with {@code ?} for each character that could break or disguise the line. */
    public static String of(String text) {
        return HARMFUL.matcher(text).replaceAll("?");
    }
}
