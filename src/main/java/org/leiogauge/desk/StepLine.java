// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import javax.swing.JButton;
import javax.swing.UIManager;

/** One thing to do, in words, with its key at the right. */
final class StepLine extends JButton {
    private static final long serialVersionUID = 1L;

    private final String key;
    private boolean chosen;

    StepLine(KeyAction action) {
        super(action.words());
        this.key = action.key();
        setName(action.words());
        setFocusable(false);
        setContentAreaFilled(false);
        setBorderPainted(false);
        getAccessibleContext().setAccessibleName(action.words() + ", key " + key);
        addActionListener(event -> action.action().run());
    }

    /** Whether this is what the mouse does now. */
    void choose(boolean on) {
        if (chosen == on) return;
        chosen = on;
        repaint();
    }

    @Override
    public Dimension getPreferredSize() {
        FontMetrics metrics = getFontMetrics(font());
        int width = metrics.stringWidth(getText()) + metrics.stringWidth(key) + UIScale.scale(34);
        return new Dimension(width, metrics.getHeight() + UIScale.scale(4));
    }

    @Override
    public Dimension getMinimumSize() {
        return new Dimension(UIScale.scale(60), getPreferredSize().height);
    }

    private Font font() {
        return getFont().deriveFont(chosen ? Font.BOLD : Font.PLAIN);
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
        boolean over = getModel().isRollover() || getModel().isPressed();
        if (chosen || over) {
            g.setColor(UIManager.getColor(chosen ? "List.selectionBackground" : "List.hoverBackground"));
            if (over && !chosen) g.setColor(mixed(getParent().getBackground(), getForeground(), 0.12));
            g.fillRect(0, 0, getWidth(), getHeight());
        }
        g.setFont(font());
        FontMetrics metrics = g.getFontMetrics();
        int base = (getHeight() + metrics.getAscent() - metrics.getDescent()) / 2;
        Color words = chosen ? UIManager.getColor("List.selectionForeground") : UIManager.getColor("Label.foreground");
        g.setColor(words);
        g.drawString(getText(), UIScale.scale(8), base);
        g.setColor(chosen ? words : mixed(getParent().getBackground(), words, 0.62));
        g.setFont(getFont().deriveFont(Font.PLAIN, getFont().getSize2D() * 0.9f));
        g.drawString(key, getWidth() - UIScale.scale(8) - g.getFontMetrics().stringWidth(key), base);
        g.dispose();
    }

    private static Color mixed(Color a, Color b, double share) {
        return new Color(
                (int) (a.getRed() + share * (b.getRed() - a.getRed())),
                (int) (a.getGreen() + share * (b.getGreen() - a.getGreen())),
                (int) (a.getBlue() + share * (b.getBlue() - a.getBlue())));
    }
}
