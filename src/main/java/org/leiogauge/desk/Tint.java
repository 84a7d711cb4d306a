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

    static Color soft() {
        return between(Prose.ink(), Prose.ground(), 0.3f);
    }

    static Color line() {
        return between(Prose.ink(), Prose.ground(), 0.8f);
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
