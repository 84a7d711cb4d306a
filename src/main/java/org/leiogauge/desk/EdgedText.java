// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.util.ArrayList;
import java.util.List;

/** Words over an image, in the font that is set, to be read on light ground and dark. For the event thread. */
final class EdgedText {
    static final Color LIGHT = new Color(0xe8e8e4);
    static final Color DIM = new Color(0x9aa0a6);

    private EdgedText() {}

    // Light words on a light image: a dark edge below.
    static void paint(Graphics2D g, String words, int x, int base, Color colour) {
        g.setColor(new Color(0, 0, 0, 210));
        int edge = Math.max(1, UIScale.scale(1));
        g.drawString(words, x + edge, base + edge);
        g.setColor(colour);
        g.drawString(words, x, base);
    }

    /** As much of the words as there is room for, in pixels. */
    static String fitted(FontMetrics metrics, String words, int room) {
        if (metrics.stringWidth(words) <= room) return words;
        int length = words.length();
        while (length > 1 && metrics.stringWidth(words.substring(0, length) + "…") > room) length--;
        return words.substring(0, length) + "…";
    }

    /** The words in lines that there is room for, in pixels. */
    static List<String> wrapped(FontMetrics metrics, String words, int room) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : words.split(" ")) {
            if (line.length() > 0 && metrics.stringWidth(line + " " + word) > room) {
                lines.add(line.toString());
                line.setLength(0);
            }
            line.append(line.length() == 0 ? "" : " ").append(word);
        }
        lines.add(line.toString());
        return lines;
    }
}
