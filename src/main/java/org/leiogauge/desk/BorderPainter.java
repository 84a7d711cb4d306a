// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.geom.Path2D;
import java.awt.geom.Point2D;
import java.util.List;
import java.util.Optional;
import java.util.function.Supplier;
import org.leiogauge.image.Box;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.outline.Refined;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The borders of the lesion, and of what refinement proposes, on the slices of one series; where it was drawn on another, they
 * are carried over. The borders of the last slice are kept. For the event thread.
 */
final class BorderPainter {
    private static final double SAME_PLACE_MM = 0.01;
    private static final Color LESION = new Color(0xffb454);
    private static final Color FOUND = new Color(0x6cc4ff);

    private final DrawnLesion lesion;
    private Optional<Borders> drawn = Optional.empty();
    private Optional<Borders> found = Optional.empty();

    BorderPainter(DrawnLesion lesion) {
        this.lesion = lesion;
    }

    /** A drawing as it is now: another one may have come as far. */
    private record State(Drawing drawing, long version) {}

    /** Borders on one slice of what is told apart by {@code region}. */
    private record Borders(Object region, int z, List<Contour> lines) {}

    void paint(Graphics2D g, View view) {
        lesion.drawing().ifPresent(drawing -> {
            drawn = kept(drawn, new State(drawing, drawing.version()), view.slice(), () -> lines(drawing, view));
            g.setStroke(new BasicStroke(UIScale.scale(1.6f)));
            outline(g, view, drawn.get().lines(), LESION);
        });
        lesion.preview().map(Refined::mask).ifPresent(refined -> {
            found = kept(found, refined, view.slice(), () -> carried(refined, view));
            g.setStroke(dashed());
            outline(g, view, found.get().lines(), FOUND);
        });
    }

    /** The last borders where they still hold, else new ones. */
    private static Optional<Borders> kept(Optional<Borders> last, Object region, int z, Supplier<List<Contour>> lines) {
        return last.filter(borders -> borders.z == z && borders.region.equals(region))
                .or(() -> Optional.of(new Borders(region, z, lines.get())));
    }

    private static List<Contour> lines(Drawing drawing, View view) {
        return view.grid().coincides(drawing.grid(), SAME_PLACE_MM)
                ? drawing.borders(view.slice())
                : carried(drawing.region(), view);
    }

    private static List<Contour> carried(Mask region, View view) {
        if (region.isEmpty()) return List.of();
        Mask near = region.crop(region.boundingBox()
                .orElseThrow()
                .grow(1, 1, 1)
                .clip(region.grid().size()));
        Size size = view.grid().size();
        Grid flat = view.grid().crop(new Box(0, 0, view.slice(), size.x() - 1, size.y() - 1, view.slice()));
        return MaskContours.of(Resampling.onto(near, flat, Resampling.Kernel.LINEAR, Workers.SINGLE, Progress.NONE));
    }

    private static BasicStroke dashed() {
        return new BasicStroke(
                UIScale.scale(1.8f),
                BasicStroke.CAP_BUTT,
                BasicStroke.JOIN_ROUND,
                1,
                new float[] {UIScale.scale(6f), UIScale.scale(4f)},
                0);
    }

    private static void outline(Graphics2D g, View view, List<Contour> borders, Color colour) {
        Path2D path = new Path2D.Double();
        for (Contour border : borders) {
            boolean first = true;
            for (Point point : border.points()) {
                Point2D.Double at = view.pane(point);
                if (first) path.moveTo(at.x, at.y);
                else path.lineTo(at.x, at.y);
                first = false;
            }
            path.closePath();
        }
        g.setColor(colour);
        g.draw(path);
    }
}
