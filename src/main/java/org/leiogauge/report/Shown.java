// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import org.leiogauge.task.OneLine;

/** Text from a file made fit to be shown: no control characters, no endless length. Escaping is the page's own. */
final class Shown {
    private static final int LONGEST = 240;
    private static final int LONGEST_NAME = 80;

    private Shown() {}

    static String text(String text) {
        return cut(OneLine.of(text), LONGEST * 4);
    }

    /** Where a long text would push aside what stands beside it. */
    static String label(String text) {
        return cut(OneLine.of(text), LONGEST);
    }

    static String name(String text) {
        return cut(OneLine.of(text), LONGEST_NAME);
    }

    // Never through the middle of a character.
    private static String cut(String text, int most) {
        if (text.codePointCount(0, text.length()) <= most) return text;
        return text.substring(0, text.offsetByCodePoints(0, most)) + " … (cut; the tables hold all of it)";
    }
}
