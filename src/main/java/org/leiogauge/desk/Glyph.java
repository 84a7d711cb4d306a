// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Component;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import javax.swing.Icon;
import org.leiogauge.appraise.Outcome;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.SignComparison.Agreement;

/** Small shapes that stand beside words. The shape says it; the colour only helps to find it. */
enum Glyph implements Icon {
    DISC,
    CROSS,
    RING,
    DASH,
    EQUAL,
    UNEQUAL,
    CARE;

    private static final int SIZE = 16;

    static Glyph of(Agreement agreement) {
        return switch (agreement) {
            case AGREES -> EQUAL;
            case DIFFERS -> UNEQUAL;
            case NOT_MEASURED -> DASH;
        };
    }

    static Glyph of(Support support) {
        return switch (support) {
            case FOR -> DISC;
            case AGAINST -> CROSS;
            case NOT_MEASURED -> DASH;
        };
    }

    static Glyph of(Outcome outcome) {
        return switch (outcome) {
            case MET -> DISC;
            case NOT_MET -> RING;
            case NOT_MEASURED -> DASH;
        };
    }

    @Override
    public int getIconWidth() {
        return UIScale.scale(SIZE);
    }

    @Override
    public int getIconHeight() {
        return UIScale.scale(SIZE);
    }

    @Override
    public void paintIcon(Component on, Graphics graphics, int x, int y) {
        double half = getIconWidth() / 2.0;
        paint(graphics, x + half, y + half, half * 0.75);
    }

    /** Draws it about a point. */
    void paint(Graphics graphics, double x, double y, double radius) {
        Graphics2D g = (Graphics2D) graphics.create();
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        g.translate(x, y);
        g.scale(radius, radius);
        g.setStroke(new BasicStroke(0.34f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
        g.setColor(colour());
        switch (this) {
            case DISC -> g.fill(new Ellipse2D.Double(-1, -1, 2, 2));
            case RING -> g.draw(new Ellipse2D.Double(-0.85, -0.85, 1.7, 1.7));
            case CROSS -> {
                line(g, -0.8, -0.8, 0.8, 0.8);
                line(g, -0.8, 0.8, 0.8, -0.8);
            }
            case DASH -> line(g, -0.7, 0, 0.7, 0);
            case EQUAL, UNEQUAL -> {
                line(g, -0.85, -0.38, 0.85, -0.38);
                line(g, -0.85, 0.38, 0.85, 0.38);
                if (this == UNEQUAL) line(g, -0.45, 0.95, 0.45, -0.95);
            }
            case CARE -> {
                Path2D.Double triangle = new Path2D.Double();
                triangle.moveTo(0, -0.9);
                triangle.lineTo(0.95, 0.8);
                triangle.lineTo(-0.95, 0.8);
                triangle.closePath();
                g.setStroke(new BasicStroke(0.22f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
                g.draw(triangle);
                line(g, 0, -0.25, 0, 0.2);
                line(g, 0, 0.52, 0, 0.53);
            }
        }
        g.dispose();
    }

    private Color colour() {
        return switch (this) {
            case DISC, EQUAL -> Tint.agreeing();
            case CROSS, UNEQUAL -> Tint.differing();
            case RING -> Tint.ink();
            case DASH, CARE -> Tint.soft();
        };
    }

    private static void line(Graphics2D g, double x1, double y1, double x2, double y2) {
        g.draw(new Line2D.Double(x1, y1, x2, y2));
    }
}
