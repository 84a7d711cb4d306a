// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import org.leiogauge.task.OneLine;

/**
 * Free text made fit for one value of a VR: no longer than it allows, without what separates values or parts of names.
 *
 * <p>Source: PS3.5 6.2, table 6.2-1. Lengths there count characters; free text is kept within as many bytes of UTF-8, for
 * there are readers that count bytes.
 */
final class FittingText {
    private FittingText() {}

    static String of(Vr vr, String text) {
        String clean = vr.isSingle() ? text.replaceAll("[\\p{Cntrl}&&[^\\t\\n\\f\\r]]", "?") : OneLine.of(text);
        if (!vr.isSingle()) clean = clean.replace('\\', '/');
        if (vr == Vr.PN) clean = clean.replace('^', ' ').replace('=', ' ');
        return bytesCut(clean, longest(vr)).stripTrailing();
    }

    /** A value of a file that is taken over as it is, but for its length. */
    static String shortened(Vr vr, String value) {
        return cut(value, vr == Vr.PN ? 3 * longest(vr) + 2 : longest(vr));
    }

    private static String bytesCut(String text, int longest) {
        int bytes = 0;
        for (int i = 0; i < text.length(); i += Character.charCount(text.codePointAt(i))) {
            int point = text.codePointAt(i);
            bytes += point < 0x80 ? 1 : point < 0x800 ? 2 : point < 0x10000 ? 3 : 4;
            if (bytes > longest) return text.substring(0, i);
        }
        return text;
    }

    // Characters as Unicode counts them: a pair of surrogates is one, and is not parted.
    private static String cut(String text, int longest) {
        return text.codePointCount(0, text.length()) <= longest
                ? text
                : text.substring(0, text.offsetByCodePoints(0, longest));
    }

    private static int longest(Vr vr) {
        return switch (vr) {
            case AE, CS, DS, SH -> 16;
            case AS -> 4;
            case DA -> 8;
            case IS -> 12;
            case TM -> 14;
            case DT -> 26;
            case LO, PN, UI -> 64;
            case ST -> 1024;
            case LT -> 10240;
            case UC, UR, UT -> 65536;
            default -> throw new IllegalArgumentException("VR must be one of text, got " + vr);
        };
    }
}
