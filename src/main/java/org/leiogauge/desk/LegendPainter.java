// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.util.List;
import java.util.Locale;

/** What the colours of the maps over an image stand for, along its lower edge. For the event thread. */
final class LegendPainter {
    private LegendPainter() {}

    /**
     * Paints the legends side by side.
     *
     * @param height of the pane
     * @param font of the pane
     */
    static void paint(Graphics2D g, List<Layer> layers, int height, Font font) {
        g.setFont(font.deriveFont(UIScale.scale(11f)));
        int bottom = height - UIScale.scale(12);
        int left = UIScale.scale(30);
        for (Layer layer : layers)
            left += (layer.isParts() ? parts(g, layer, left, bottom) : ramp(g, layer, left, bottom))
                    + UIScale.scale(18);
    }

    /** @return its width */
    private static int parts(Graphics2D g, Layer layer, int left, int bottom) {
        int line = UIScale.scale(15);
        int box = UIScale.scale(10);
        int beside = UIScale.scale(15);
        int[] colours = layer.colours();
        int count = layer.parts().size();
        int base = bottom - line * count;
        int width = title(g, layer, left, base);
        for (int part = 0; part < count; part++) {
            String name = layer.parts().get(part);
            base += line;
            g.setColor(new Color(colours[part + 1]));
            g.fillRect(left, base - UIScale.scale(9), box, box);
            EdgedText.paint(g, name, left + beside, base, EdgedText.LIGHT);
            width = Math.max(width, beside + g.getFontMetrics().stringWidth(name));
        }
        return width;
    }

    /** @return its width */
    private static int ramp(Graphics2D g, Layer layer, int left, int bottom) {
        int base = bottom - 2 * UIScale.scale(15);
        int width = title(g, layer, left, base);
        int bar = UIScale.scale(140);
        int[] colours = layer.colours();
        for (int x = 0; x < bar; x++) {
            g.setColor(new Color(colours[x * (Layer.COLOURS - 1) / Math.max(1, bar - 1)]));
            g.fillRect(left + x, base + UIScale.scale(5), 1, UIScale.scale(9));
        }
        EdgedText.paint(g, number(layer.range().low()), left, bottom, EdgedText.LIGHT);
        String high = (number(layer.range().high()) + " " + layer.unit()).strip();
        int right = left + bar - g.getFontMetrics().stringWidth(high);
        EdgedText.paint(g, high, right, bottom, EdgedText.LIGHT);
        return Math.max(width, bar);
    }

    /** @return its width */
    private static int title(Graphics2D g, Layer layer, int left, int base) {
        EdgedText.paint(g, layer.title(), left, base, EdgedText.LIGHT);
        return g.getFontMetrics().stringWidth(layer.title());
    }

    private static String number(double value) {
        return value == Math.rint(value) ? Long.toString((long) value) : String.format(Locale.ROOT, "%.3g", value);
    }
}
