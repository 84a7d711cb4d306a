// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.util.regex.Pattern;

/** What cases, readers, sites and outcomes may be called: they become names of files, cells of tables, words of reports. */
public final class Name {
    /** For messages. */
    public static final String WORDS =
            "a name of at most 64 letters, digits, spaces and . _ + -, that begins with a letter or digit";

    private static final Pattern NAME =
            Pattern.compile("[\\p{L}\\p{N}](?:[\\p{L}\\p{N} ._+-]{0,62}[\\p{L}\\p{N}_+-])?");

    private Name() {}

    public static boolean is(String text) {
        return NAME.matcher(text).matches();
    }
}
