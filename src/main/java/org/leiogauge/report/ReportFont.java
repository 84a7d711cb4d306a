// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.Font;
import java.awt.FontFormatException;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;

/** The font of pictures and PDF, which comes with the program: a page looks the same on every machine. */
final class ReportFont {
    static final String FAMILY = "DejaVu Sans";
    private static final byte[] REGULAR_FILE = file("DejaVuSans.ttf");
    private static final byte[] BOLD_FILE = file("DejaVuSans-Bold.ttf");
    private static final Font REGULAR = font(REGULAR_FILE);
    private static final Font BOLD = font(BOLD_FILE);

    private ReportFont() {}

    static Font regular(int size) {
        return REGULAR.deriveFont((float) size);
    }

    static Font bold(int size) {
        return BOLD.deriveFont((float) size);
    }

    static InputStream regularFile() {
        return new ByteArrayInputStream(REGULAR_FILE);
    }

    static InputStream boldFile() {
        return new ByteArrayInputStream(BOLD_FILE);
    }

    private static byte[] file(String name) {
        try (InputStream in = ReportFont.class.getResourceAsStream("font/" + name)) {
            if (in == null) throw new IllegalStateException("the program lacks the font " + name);
            return in.readAllBytes();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Font font(byte[] file) {
        try {
            return Font.createFont(Font.TRUETYPE_FONT, new ByteArrayInputStream(file));
        } catch (FontFormatException | IOException e) {
            throw new IllegalStateException(e);
        }
    }
}
