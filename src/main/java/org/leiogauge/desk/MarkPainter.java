// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Point2D;
import java.util.List;
import java.util.Map;
import org.leiogauge.image.Point;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Tissue;

/** Marks of places in patient space, where they cut the slice: reference regions and the crosshair. For the event thread. */
final class MarkPainter {
    static final Color CROSSHAIR = new Color(0x7fd1c7);
    private static final Color BALL = new Color(0xd7e36b);

    private MarkPainter() {}

    /** @param named whether each region has its tissue's name beside it */
    static void references(Graphics2D g, View view, Map<Tissue, List<Ball>> references, Font font, boolean named) {
        g.setStroke(new BasicStroke(UIScale.scale(1.4f)));
        g.setFont(font.deriveFont(UIScale.scale(11f)));
        references.forEach((tissue, balls) -> {
            for (Ball ball : balls) reference(g, view, ball, named ? tissue.key() : "");
        });
    }

    private static void reference(Graphics2D g, View view, Ball ball, String name) {
        double away = view.away(ball.centre());
        if (away >= ball.radius()) return;
        double radius = Math.sqrt(ball.radius() * ball.radius() - away * away) * view.pixelsPerMm();
        Point2D.Double at = view.pane(ball.centre());
        g.setColor(BALL);
        g.draw(new Ellipse2D.Double(at.x - radius, at.y - radius, 2 * radius, 2 * radius));
        if (!name.isEmpty()) EdgedText.paint(g, name, (int) (at.x + radius) + UIScale.scale(3), (int) at.y, BALL);
    }

    // A ring and marks on the edges: the lesion under it stays free.
    static void crosshair(Graphics2D g, View view, Point cursor) {
        Point2D.Double at = view.pane(cursor);
        boolean onSlice = view.away(cursor) <= view.grid().spacing().z() / 2 + 1e-6;
        g.setColor(CROSSHAIR);
        g.setStroke(new BasicStroke(UIScale.scale(1.2f)));
        double r = UIScale.scale(5f);
        if (onSlice) g.draw(new Ellipse2D.Double(at.x - r, at.y - r, 2 * r, 2 * r));
        double mark = UIScale.scale(10f);
        g.draw(new Line2D.Double(at.x, 0, at.x, mark));
        g.draw(new Line2D.Double(at.x, view.height() - mark, at.x, view.height()));
        g.draw(new Line2D.Double(0, at.y, mark, at.y));
        g.draw(new Line2D.Double(view.width() - mark, at.y, view.width(), at.y));
    }
}
