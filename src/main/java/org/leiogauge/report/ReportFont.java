// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.Font;
import java.awt.FontFormatException;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.io.InputStream;
import java.io.UncheckedIOException;
import java.util.Map;
import java.util.concurrent.ConcurrentHashMap;

/** The font of pictures and PDF, which comes with the program: a page looks the same on every machine. */
final class ReportFont {
    static final String FAMILY = "DejaVu Sans";
    private static final String REGULAR = "DejaVuSans.ttf";
    private static final String BOLD = "DejaVuSans-Bold.ttf";
    // Not made while the class is loaded: Java puts a font into a temporary file, and a full disk must be able to say
    // so.
    private static final Map<String, Font> MADE = new ConcurrentHashMap<>();

    private ReportFont() {}

    static Font regular(int size) {
        return MADE.computeIfAbsent(REGULAR, ReportFont::font).deriveFont((float) size);
    }

    static Font bold(int size) {
        return MADE.computeIfAbsent(BOLD, ReportFont::font).deriveFont((float) size);
    }

    static InputStream regularFile() {
        return new ByteArrayInputStream(file(REGULAR));
    }

    static InputStream boldFile() {
        return new ByteArrayInputStream(file(BOLD));
    }

    private static byte[] file(String name) {
        try (InputStream in = ReportFont.class.getResourceAsStream("font/" + name)) {
            if (in == null) throw new IllegalStateException("the program lacks the font " + name);
            return in.readAllBytes();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private static Font font(String name) {
        try {
            return Font.createFont(Font.TRUETYPE_FONT, new ByteArrayInputStream(file(name)));
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        } catch (FontFormatException e) {
            throw new IllegalStateException(e);
        }
    }
}
