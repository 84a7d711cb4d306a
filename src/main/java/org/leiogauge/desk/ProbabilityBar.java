// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.RoundRectangle2D;
import javax.accessibility.AccessibleContext;
import javax.swing.JComponent;
import javax.swing.UIManager;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.PostTest;

/** Probability before and after, on a scale on which each step is ten times the last; the words beside it say the same. */
final class ProbabilityBar extends JComponent {
    private static final long serialVersionUID = 1L;
    private static final double LEAST = 1e-5;
    private static final String[] TICKS = {"0.001 %", "0.01", "0.1", "1", "10", "100 %"};
    private static final int SIDE = 8;

    private double before = LEAST;
    private transient PostTest after;

    ProbabilityBar(double before, PostTest after) {
        show(before, after);
    }

    /** @param before the prevalence, 0 to 1 */
    void show(double before, PostTest after) {
        this.before = before;
        this.after = after;
        getAccessibleContext().setAccessibleName("Probability before and after");
        getAccessibleContext().setAccessibleDescription("after: " + AppraisalText.probability(after));
        repaint();
    }

    /** Where a probability stands on the scale, 0 to 1; what is rarer than 1 in 100 000 stands at its start. */
    static double place(double probability) {
        return Math.max(0, Math.min(1, 1 - Math.log10(probability) / Math.log10(LEAST)));
    }

    @Override
    public AccessibleContext getAccessibleContext() {
        if (accessibleContext == null)
            accessibleContext = new AccessibleJComponent() {
                private static final long serialVersionUID = 1L;
            };
        return accessibleContext;
    }

    @Override
    public Dimension getPreferredSize() {
        return new Dimension(UIScale.scale(200), UIScale.scale(30) + metrics().getHeight());
    }

    private FontMetrics metrics() {
        return getFontMetrics(font());
    }

    private static Font font() {
        Font font = UIManager.getFont("Label.font");
        return font.deriveFont(font.getSize2D() * 0.85f);
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        g.setFont(font());
        double unit = UIScale.getUserScaleFactor();
        paintScale(g, 26 * unit);
        g.setColor(Tint.ink());
        Path2D.Double diamond = new Path2D.Double();
        double x = x(before);
        diamond.moveTo(x, unit);
        diamond.lineTo(x + 5 * unit, 6 * unit);
        diamond.lineTo(x, 11 * unit);
        diamond.lineTo(x - 5 * unit, 6 * unit);
        diamond.closePath();
        g.setStroke(new BasicStroke((float) (1.5 * unit)));
        g.draw(diamond);
        g.setColor(Tint.agreeing());
        double low = x(after.interval().low());
        double high = x(after.interval().high());
        g.fill(new RoundRectangle2D.Double(low, 15 * unit, Math.max(2, high - low), 5 * unit, 4 * unit, 4 * unit));
        g.setStroke(new BasicStroke((float) (2.5 * unit)));
        g.draw(new Line2D.Double(x(after.median()), 12.5 * unit, x(after.median()), 22.5 * unit));
        g.dispose();
    }

    private void paintScale(Graphics2D g, double line) {
        for (int i = 0; i < TICKS.length; i++) {
            double x = SIDE + (getWidth() - 2.0 * SIDE) * i / (TICKS.length - 1);
            g.setColor(Tint.line());
            g.draw(new Line2D.Double(x, 1, x, line));
            g.setColor(Tint.soft());
            int width = g.getFontMetrics().stringWidth(TICKS[i]);
            float at = (float) Math.max(0, Math.min(getWidth() - width, x - width / 2.0));
            g.drawString(TICKS[i], at, (float) line + 1 + g.getFontMetrics().getAscent());
        }
        g.setColor(Tint.line());
        g.draw(new Line2D.Double(SIDE, line, getWidth() - SIDE, line));
    }

    private double x(double probability) {
        return SIDE + (getWidth() - 2.0 * SIDE) * place(probability);
    }
}
