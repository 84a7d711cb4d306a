// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import org.leiogauge.task.OneLine;

/** Text from files made fit for a label, a button or a tool tip: one line that is never taken for markup. */
final class Plain {
    private Plain() {}

    static String of(String text) {
        String line = OneLine.of(text);
        // Swing takes what begins so for a page, and would load its pictures
        return line.regionMatches(true, 0, "<html", 0, 5) ? " " + line : line;
    }
}
