// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Component;
import java.awt.Graphics;
import java.awt.Insets;
import javax.swing.BorderFactory;
import javax.swing.Icon;
import javax.swing.JComponent;
import javax.swing.JLabel;
import javax.swing.JPanel;
import javax.swing.border.AbstractBorder;

/** The pieces that the reading panels are put together from. */
final class Section {
    private Section() {}

    /** A block with a fine line above it. */
    static JPanel ruled(int gap) {
        JPanel panel = plain(gap);
        panel.setBorder(new LineAbove());
        return panel;
    }

    /** A block without one. */
    static JPanel plain(int gap) {
        JPanel panel = new JPanel(WidthFirst.column(gap));
        // what is put in its place later has the ground of the look that is on by then
        panel.setOpaque(false);
        return panel;
    }

    /** A shape before words that wrap. */
    static JComponent marked(Icon shape, Prose words) {
        JLabel label = new JLabel(shape);
        label.setVerticalAlignment(JLabel.TOP);
        label.setBorder(BorderFactory.createEmptyBorder(1, 0, 0, 0));
        JPanel line = new JPanel(WidthFirst.afterShape(6));
        line.add(label);
        line.add(words);
        return line;
    }

    /** A shape before a word or two. */
    static JComponent word(Icon shape, String word) {
        JLabel label = new JLabel(Plain.of(word), shape, JLabel.LEADING);
        label.setIconTextGap(UIScale.scale(6));
        return label;
    }

    private static final class LineAbove extends AbstractBorder {
        private static final long serialVersionUID = 1L;

        @Override
        public void paintBorder(Component on, Graphics g, int x, int y, int width, int height) {
            g.setColor(Tint.line());
            g.fillRect(x, y, width, UIScale.scale(1));
        }

        @Override
        public Insets getBorderInsets(Component on, Insets insets) {
            insets.set(UIScale.scale(9), 0, 0, 0);
            return insets;
        }
    }
}
