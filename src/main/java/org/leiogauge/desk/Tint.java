// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Color;

/** The few colours of the reading panels, for a light and a dark look. None of them says anything alone. */
final class Tint {
    // Blue and vermilion of the palette of Okabe and Ito 2008; lighter ones of the same hue on a dark ground.
    private static final Color BLUE = new Color(0x0072b2);
    private static final Color LIGHT_BLUE = new Color(0x6cbcf0);
    private static final Color VERMILION = new Color(0xc44f00);
    private static final Color LIGHT_VERMILION = new Color(0xf29a5c);

    private static final float SOFTEST = 0.3f;
    // Least contrast of words: WCAG 2.1, success criterion 1.4.3.
    private static final double READABLE = 4.5;

    private Tint() {}

    /** What goes together. */
    static Color agreeing() {
        return isDark() ? LIGHT_BLUE : BLUE;
    }

    /** What does not. */
    static Color differing() {
        return isDark() ? LIGHT_VERMILION : VERMILION;
    }

    static Color ink() {
        return Prose.ink();
    }

    /** Of words that stand back, as far as they can still be read with ease. */
    static Color soft() {
        for (float share = SOFTEST; share > 0; share -= 0.05f) {
            Color soft = between(Prose.ink(), Prose.ground(), share);
            if (contrast(soft, Prose.ground()) >= READABLE) return soft;
        }
        return Prose.ink();
    }

    static Color line() {
        return between(Prose.ink(), Prose.ground(), 0.8f);
    }

    /** Contrast of two colours, 1 to 21. Source: WCAG 2.1, contrast ratio and relative luminance. */
    static double contrast(Color one, Color other) {
        double a = luminance(one);
        double b = luminance(other);
        return (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    }

    private static double luminance(Color colour) {
        return 0.2126 * linear(colour.getRed())
                + 0.7152 * linear(colour.getGreen())
                + 0.0722 * linear(colour.getBlue());
    }

    private static double linear(int channel) {
        double share = channel / 255.0;
        return share <= 0.03928 ? share / 12.92 : Math.pow((share + 0.055) / 1.055, 2.4);
    }

    private static boolean isDark() {
        Color ground = Prose.ground();
        return ground.getRed() + ground.getGreen() + ground.getBlue() < 3 * 128;
    }

    /** A colour on the way from one to another. */
    static Color between(Color from, Color to, float share) {
        return new Color(
                Math.round(from.getRed() + share * (to.getRed() - from.getRed())),
                Math.round(from.getGreen() + share * (to.getGreen() - from.getGreen())),
                Math.round(from.getBlue() + share * (to.getBlue() - from.getBlue())));
    }
}
