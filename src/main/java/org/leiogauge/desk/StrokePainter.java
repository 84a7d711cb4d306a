// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Path2D;
import java.awt.geom.Point2D;
import java.util.List;
import org.leiogauge.image.Point;

/** A stroke on its way, as the tool in hand makes it, and the ring that shows how wide it is. For the event thread. */
final class StrokePainter {
    private static final Color STROKE = new Color(0xffffff);
    private static final Color TAKEN = new Color(0xff8f7a);

    private StrokePainter() {}

    /** The stroke so far; one must be on its way. */
    static void stroke(Graphics2D g, View view, Strokes strokes, Tool tool) {
        Hand hand = tool.hand();
        List<Point> line = strokes.path();
        if (hand == Hand.ELLIPSE && line.size() > 1) line = Strokes.ellipse(view.grid(), line);
        Path2D path = new Path2D.Double();
        Point2D.Double start = view.pane(line.get(0));
        path.moveTo(start.x, start.y);
        line.forEach(point -> path.lineTo(view.pane(point).x, view.pane(point).y));
        boolean wide = hand.hasWidth();
        Color colour = strokes.isTaking() || hand == Hand.TAKE ? TAKEN : STROKE;
        g.setColor(wide ? new Color(colour.getRed(), colour.getGreen(), colour.getBlue(), 110) : colour);
        g.setStroke(new BasicStroke(
                wide ? (float) (2 * tool.brushMm() * view.pixelsPerMm()) : UIScale.scale(1.5f),
                BasicStroke.CAP_ROUND,
                BasicStroke.JOIN_ROUND));
        g.draw(path);
        if (hand == Hand.POLYGON || hand == Hand.FREEHAND && line.size() < 8) dots(g, view, line);
    }

    private static void dots(Graphics2D g, View view, List<Point> corners) {
        double r = UIScale.scale(2.5f);
        for (Point corner : corners) {
            Point2D.Double at = view.pane(corner);
            g.fill(new Ellipse2D.Double(at.x - r, at.y - r, 2 * r, 2 * r));
        }
    }

    /** What a brush would paint about the mouse. */
    static void ring(Graphics2D g, View view, double brushMm, Point2D.Double mouse) {
        double radius = brushMm * view.pixelsPerMm();
        g.setStroke(new BasicStroke(UIScale.scale(1f)));
        g.setColor(STROKE);
        g.draw(new Ellipse2D.Double(mouse.x - radius, mouse.y - radius, 2 * radius, 2 * radius));
    }
}
