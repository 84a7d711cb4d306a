// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import org.leiogauge.task.OneLine;

/** Text from files made fit for a label, a button or a tool tip: one line that is never taken for markup. */
final class Plain {
    static final String ADC_UNIT = "10-3.mm2/s";

    private Plain() {}

    static String of(String text) {
        String line = OneLine.of(text);
        // Swing takes what begins so for a page, and would load its pictures
        return line.regionMatches(true, 0, "<html", 0, 5) ? " " + line : line;
    }

    /** A unit as a reader knows it, in place of its code in tables; empty for a bare number. */
    static String unit(String code) {
        return switch (code) {
            case "1" -> "";
            case "mm2" -> "mm²";
            case "mm3" -> "mm³";
            case ADC_UNIT -> "10⁻³ mm²/s";
            default -> code;
        };
    }
}
