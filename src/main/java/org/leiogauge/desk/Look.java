// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.FlatDarkLaf;
import com.formdev.flatlaf.FlatLaf;
import com.formdev.flatlaf.FlatLightLaf;
import java.awt.Dimension;
import java.awt.GraphicsEnvironment;
import java.awt.Toolkit;
import java.util.Map;

/** Light or dark, and how large letters are. */
final class Look {
    private static final int TALL_SCREEN = 2000;
    private static final String SCALE = "flatlaf.uiScale";

    private Look() {}

    /** Dark, as reading rooms are; before the first window. */
    static void begin() {
        Dimension screen = Toolkit.getDefaultToolkit().getScreenSize();
        boolean unscaled = GraphicsEnvironment.getLocalGraphicsEnvironment()
                        .getDefaultScreenDevice()
                        .getDefaultConfiguration()
                        .getDefaultTransform()
                        .getScaleX()
                == 1;
        if (screen.height >= TALL_SCREEN && unscaled && System.getProperty(SCALE) == null)
            System.setProperty(SCALE, "2");
        dark();
    }

    static void turn() {
        if (FlatLaf.isLafDark()) light();
        else dark();
    }

    private static void dark() {
        FlatLaf.setGlobalExtraDefaults(
                Map.of("@accentColor", "#2f8f83", "@background", "#1f2326", "@foreground", "#d6d9da"));
        FlatDarkLaf.setup();
    }

    private static void light() {
        FlatLaf.setGlobalExtraDefaults(
                Map.of("@accentColor", "#1f7a6e", "@background", "#f4f3ef", "@foreground", "#23282b"));
        FlatLightLaf.setup();
    }
}
