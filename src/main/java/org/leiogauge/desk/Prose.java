// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Color;
import java.awt.Font;
import java.awt.Rectangle;
import javax.swing.JTextArea;
import javax.swing.UIManager;
import javax.swing.text.View;
import org.leiogauge.task.OneLine;

/** Words to read: they wrap, and follow the look's font and colours. */
final class Prose extends JTextArea {
    private static final long serialVersionUID = 1L;

    // Swing keeps this much of the width for a caret
    private static final int CARET = 1;

    private final Style style;
    private int knownWidth = -1;
    private int knownHeight;

    /** How words stand out. */
    enum Style {
        HEADING(1.25f, Font.BOLD),
        NAME(1, Font.BOLD),
        TEXT(1, Font.PLAIN),
        SOFT(0.92f, Font.PLAIN);

        private final float size;
        private final int weight;

        Style(float size, int weight) {
            this.size = size;
            this.weight = weight;
        }
    }

    Prose(String words, Style style) {
        this.style = style;
        setEditable(false);
        setFocusable(false);
        setLineWrap(true);
        setWrapStyleWord(true);
        setOpaque(false);
        setBorder(null);
        setWords(words);
        restyle();
    }

    static Prose heading(String words) {
        return new Prose(words, Style.HEADING);
    }

    static Prose name(String words) {
        return new Prose(words, Style.NAME);
    }

    static Prose text(String words) {
        return new Prose(words, Style.TEXT);
    }

    static Prose soft(String words) {
        return new Prose(words, Style.SOFT);
    }

    /** Other words in place of these; the ADC's unit is written as a reader knows it, and text from files shows no control characters. */
    void setWords(String words) {
        setText(OneLine.of(words.replace('\n', ' ')).replace(Plain.ADC_UNIT, Plain.unit(Plain.ADC_UNIT)));
        getAccessibleContext().setAccessibleName(getText());
        knownWidth = -1;
    }

    /** How high the words are at a width; remembered, for a layout asks more than once. */
    int heightAt(int width) {
        if (width != knownWidth) {
            View words = getUI().getRootView(this);
            words.setSize(Math.max(1, width - CARET), Short.MAX_VALUE);
            knownHeight = (int) Math.ceil(words.getPreferredSpan(View.Y_AXIS));
            knownWidth = width;
        }
        return knownHeight;
    }

    /** Nothing: a caret that nobody sees would drag the view along whenever words change, away from under the mouse. */
    @Override
    public void scrollRectToVisible(Rectangle area) {}

    @Override
    public void updateUI() {
        super.updateUI();
        if (style != null) restyle();
    }

    private void restyle() {
        Font font = UIManager.getFont("Label.font");
        setFont(font.deriveFont(style.weight, font.getSize2D() * style.size));
        setForeground(style == Style.SOFT ? Tint.soft() : ink());
        setOpaque(false);
        setBorder(null);
        knownWidth = -1;
    }

    /** The look's colour of words. */
    static Color ink() {
        return UIManager.getColor("Label.foreground");
    }

    /** The look's colour behind words. */
    static Color ground() {
        return UIManager.getColor("Panel.background");
    }
}
