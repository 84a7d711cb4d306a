// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Dimension;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.event.FocusAdapter;
import java.awt.event.FocusEvent;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.awt.event.MouseWheelEvent;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Point2D;
import java.awt.image.BufferedImage;
import java.awt.image.DataBufferInt;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.function.Consumer;
import javax.accessibility.AccessibleContext;
import javax.accessibility.AccessibleRole;
import javax.swing.JComponent;
import javax.swing.SwingUtilities;
import javax.swing.UIManager;
import org.leiogauge.image.Box;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.MaskContours;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** One series on the desk: its slice at the crosshair, with maps, drawing and reference regions, to be drawn on. */
final class SeriesPane extends JComponent {
    private static final long serialVersionUID = 1L;
    private static final double SAME_PLACE_MM = 0.01;
    private static final double ZOOM_STEP = 1.15;

    // The ground of images is dark in a light window too: it sets what looks bright.
    private static final Color GROUND = new Color(0x0e1012);
    private static final Color WORDS = new Color(0xe8e8e4);
    private static final Color DIM = new Color(0x9aa0a6);
    private static final Color CROSSHAIR = new Color(0x7fd1c7);
    private static final Color LESION = new Color(0xffb454);
    private static final Color FOUND = new Color(0x6cc4ff);
    private static final Color STROKE = new Color(0xffffff);
    private static final Color TAKEN = new Color(0xff8f7a);
    private static final Color BALL = new Color(0xd7e36b);

    private final transient DeskModel model;
    private final transient Strokes strokes;
    private final int slot;
    private transient Optional<Slice> slice = Optional.empty();
    private transient Optional<Carried> lesion = Optional.empty();
    private transient Optional<Carried> found = Optional.empty();
    private transient Optional<Point2D.Double> mouse = Optional.empty();

    /** The slice as it was painted last. */
    private record Slice(Painted what, BufferedImage image) {}

    private record Painted(int frame, int z, int every, GreyRange range, List<Layer> layers, double opacity) {}

    /** Borders of a region on a slice of this series. */
    private record Carried(Object region, int z, List<Contour> borders) {}

    SeriesPane(DeskModel model, Strokes strokes, int slot) {
        this.model = model;
        this.strokes = strokes;
        this.slot = slot;
        setName("series-" + slot);
        setOpaque(true);
        setFont(UIManager.getFont("Label.font"));
        setMinimumSize(new Dimension(40, 40));
        Hands hands = new Hands();
        addMouseListener(hands);
        addMouseMotionListener(hands);
        addMouseWheelListener(hands);
        addFocusListener(new FocusAdapter() {
            @Override
            public void focusGained(FocusEvent event) {
                model.lightbox().activate(slot);
            }
        });
    }

    @Override
    public AccessibleContext getAccessibleContext() {
        if (accessibleContext == null) {
            accessibleContext = new AccessibleJComponent() {
                private static final long serialVersionUID = 1L;

                @Override
                public AccessibleRole getAccessibleRole() {
                    return AccessibleRole.CANVAS;
                }
            };
            accessibleContext.setAccessibleName(
                    Picture.title(model.lightbox().slots().get(slot).series()));
        }
        return accessibleContext;
    }

    /** How the slice lies on this pane; none until the series is there. */
    Optional<View> view() {
        Optional<Picture> picture = model.lightbox().picture(slot);
        if (picture.isEmpty() || getWidth() < 2 || getHeight() < 2) return Optional.empty();
        double scale = View.fitting(picture.get().grid(), getWidth(), getHeight())
                * model.lightbox().zoom();
        return Optional.of(new View(
                picture.get().grid(),
                model.lightbox().slice(slot),
                model.lightbox().centre(),
                scale,
                getWidth(),
                getHeight()));
    }

    @Override
    protected void paintComponent(Graphics graphics) {
        Graphics2D g = (Graphics2D) graphics.create();
        try {
            g.setColor(GROUND);
            g.fillRect(0, 0, getWidth(), getHeight());
            g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
            Optional<View> view = view();
            if (view.isPresent()) paint(g, view.get());
            else blank(g);
            frame(g);
        } finally {
            g.dispose();
        }
    }

    private void paint(Graphics2D g, View view) {
        Slice now = slice(view.slice(), view.every());
        g.setRenderingHint(RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        g.drawImage(now.image(), view.image(view.every()), null);
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        borders(g, view);
        balls(g, view);
        stroke(g, view);
        crosshair(g, view);
        words(g, view);
    }

    private Slice slice(int z, int every) {
        Lightbox.Slot shown = model.lightbox().slots().get(slot);
        Painted what = new Painted(
                shown.frame(),
                z,
                every,
                shown.range(),
                model.layers().shown(),
                model.layers().opacity());
        if (slice.isPresent() && slice.get().what().equals(what)) return slice.get();
        Picture picture = shown.picture().orElseThrow();
        int width = SlicePainter.painted(picture.grid().size().x(), every);
        int height = SlicePainter.painted(picture.grid().size().y(), every);
        BufferedImage image = slice.map(Slice::image)
                .filter(old -> old.getWidth() == width && old.getHeight() == height)
                .orElseGet(() -> new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB));
        int[] pixels = ((DataBufferInt) image.getRaster().getDataBuffer()).getData();
        SlicePainter.paint(picture.volume(what.frame()), z, what.range(), what.layers(), what.opacity(), every, pixels);
        slice = Optional.of(new Slice(what, image));
        return slice.get();
    }

    // ---- what lies over the image

    private void borders(Graphics2D g, View view) {
        model.lesion().drawing().ifPresent(drawing -> {
            if (lesion.isEmpty() || isOld(lesion.get(), drawing.version(), view.slice()))
                lesion = Optional.of(new Carried(
                        drawing.version(),
                        view.slice(),
                        isDrawnHere(view.grid(), drawing)
                                ? drawing.borders(view.slice())
                                : carried(drawing.region(), view)));
            g.setStroke(new BasicStroke(UIScale.scale(1.6f)));
            outline(g, view, lesion.get().borders(), LESION);
        });
        if (model.lesion().preview().isEmpty()) return;
        Mask refined = model.lesion().preview().get().mask();
        if (found.isEmpty() || isOld(found.get(), refined, view.slice()))
            found = Optional.of(new Carried(refined, view.slice(), carried(refined, view)));
        g.setStroke(new BasicStroke(
                UIScale.scale(1.8f),
                BasicStroke.CAP_BUTT,
                BasicStroke.JOIN_ROUND,
                1,
                new float[] {UIScale.scale(6f), UIScale.scale(4f)},
                0));
        outline(g, view, found.get().borders(), FOUND);
    }

    private boolean isDrawnHere(Grid grid, Drawing drawing) {
        return grid.coincides(drawing.grid(), SAME_PLACE_MM);
    }

    private static boolean isOld(Carried carried, Object region, int z) {
        return carried.z() != z || !carried.region().equals(region);
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

    private void balls(Graphics2D g, View view) {
        g.setStroke(new BasicStroke(UIScale.scale(1.4f)));
        g.setFont(getFont().deriveFont(UIScale.scale(11f)));
        for (Tissue tissue : model.references().all().keySet())
            for (Ball ball : model.references().all().get(tissue)) {
                double away = view.away(ball.centre());
                if (away >= ball.radius()) continue;
                double radius = Math.sqrt(ball.radius() * ball.radius() - away * away) * view.pixelsPerMm();
                Point2D.Double at = view.pane(ball.centre());
                g.setColor(BALL);
                g.draw(new Ellipse2D.Double(at.x - radius, at.y - radius, 2 * radius, 2 * radius));
                if (slot == model.lightbox().lead())
                    text(g, tissue.key(), (int) (at.x + radius) + UIScale.scale(3), (int) at.y, BALL);
            }
    }

    private void stroke(Graphics2D g, View view) {
        if (strokes.isOpen() && strokes.slot() == slot) {
            List<Point> line = strokes.path();
            if (model.tool().hand() == Hand.ELLIPSE && line.size() > 1) line = Strokes.ellipse(view.grid(), line);
            Path2D path = new Path2D.Double();
            Point2D.Double start = view.pane(line.get(0));
            path.moveTo(start.x, start.y);
            line.forEach(point -> path.lineTo(view.pane(point).x, view.pane(point).y));
            boolean wide = model.tool().hand().hasWidth();
            Color colour = strokes.isTaking() || model.tool().hand() == Hand.TAKE ? TAKEN : STROKE;
            g.setColor(wide ? new Color(colour.getRed(), colour.getGreen(), colour.getBlue(), 110) : colour);
            g.setStroke(new BasicStroke(
                    wide ? (float) (2 * model.tool().brushMm() * view.pixelsPerMm()) : UIScale.scale(1.5f),
                    BasicStroke.CAP_ROUND,
                    BasicStroke.JOIN_ROUND));
            g.draw(path);
            if (model.tool().hand() == Hand.POLYGON || model.tool().hand() == Hand.FREEHAND && line.size() < 8)
                dots(g, view, line);
        }
        if (model.tool().hand().hasWidth() && mouse.isPresent()) {
            double radius = model.tool().brushMm() * view.pixelsPerMm();
            g.setStroke(new BasicStroke(UIScale.scale(1f)));
            g.setColor(STROKE);
            g.draw(new Ellipse2D.Double(mouse.get().x - radius, mouse.get().y - radius, 2 * radius, 2 * radius));
        }
    }

    private static void dots(Graphics2D g, View view, List<Point> corners) {
        double r = UIScale.scale(2.5f);
        for (Point corner : corners) {
            Point2D.Double at = view.pane(corner);
            g.fill(new Ellipse2D.Double(at.x - r, at.y - r, 2 * r, 2 * r));
        }
    }

    // A ring and marks on the edges: the lesion under it stays free.
    private void crosshair(Graphics2D g, View view) {
        Point2D.Double at = view.pane(model.lightbox().cursor());
        boolean onSlice =
                view.away(model.lightbox().cursor()) <= view.grid().spacing().z() / 2 + 1e-6;
        g.setColor(CROSSHAIR);
        g.setStroke(new BasicStroke(UIScale.scale(1.2f)));
        double r = UIScale.scale(5f);
        if (onSlice) g.draw(new Ellipse2D.Double(at.x - r, at.y - r, 2 * r, 2 * r));
        double mark = UIScale.scale(10f);
        g.draw(new Line2D.Double(at.x, 0, at.x, mark));
        g.draw(new Line2D.Double(at.x, getHeight() - mark, at.x, getHeight()));
        g.draw(new Line2D.Double(0, at.y, mark, at.y));
        g.draw(new Line2D.Double(getWidth() - mark, at.y, getWidth(), at.y));
    }

    private void words(Graphics2D g, View view) {
        Picture picture = model.lightbox().picture(slot).orElseThrow();
        int left = UIScale.scale(12);
        int line = UIScale.scale(17);
        g.setFont(getFont().deriveFont(Font.BOLD, UIScale.scale(13f)));
        int room = getWidth() - left - UIScale.scale(6);
        text(g, fitted(g, picture.title(), room), left, line + UIScale.scale(3), WORDS);
        g.setFont(getFont().deriveFont(UIScale.scale(11f)));
        String frame = picture.frameWords(model.lightbox().slots().get(slot).frame());
        String where =
                "slice " + (view.slice() + 1) + " of " + view.grid().size().z();
        String below = frame.isEmpty() ? where : frame + ", " + where;
        text(g, fitted(g, below, room), left, 2 * line + UIScale.scale(2), DIM);
        letters(g, view.grid());
        scaleBar(g, view);
        legends(g);
    }

    private static String fitted(Graphics2D g, String words, int room) {
        FontMetrics metrics = g.getFontMetrics();
        if (metrics.stringWidth(words) <= room) return words;
        int length = words.length();
        while (length > 1 && metrics.stringWidth(words.substring(0, length) + "…") > room) length--;
        return words.substring(0, length) + "…";
    }

    private void letters(Graphics2D g, Grid grid) {
        Vector x = grid.direction().x();
        Vector y = grid.direction().y();
        FontMetrics metrics = g.getFontMetrics();
        int edge = UIScale.scale(14);
        int middleY = getHeight() / 2 + metrics.getAscent() / 2;
        text(g, x.times(-1).patientSide(), edge, middleY, WORDS);
        text(g, x.patientSide(), getWidth() - edge - metrics.charWidth('W'), middleY, WORDS);
        text(g, y.patientSide(), getWidth() / 2, getHeight() - edge, WORDS);
    }

    private void scaleBar(Graphics2D g, View view) {
        double mm = 100;
        for (double next : new double[] {50, 20, 10, 5, 2, 1})
            if (mm * view.pixelsPerMm() > getWidth() / 4.0) mm = next;
        int length = (int) Math.round(mm * view.pixelsPerMm());
        int right = getWidth() - UIScale.scale(26);
        int base = getHeight() - UIScale.scale(12);
        g.setColor(DIM);
        g.setStroke(new BasicStroke(UIScale.scale(2f)));
        g.draw(new Line2D.Double(right - length, base, right, base));
        String words = (int) mm + " mm";
        text(g, words, right - g.getFontMetrics().stringWidth(words), base - UIScale.scale(5), DIM);
    }

    private void legends(Graphics2D g) {
        if (slot != model.lightbox().lead()) return;
        int bottom = getHeight() - UIScale.scale(12);
        int left = UIScale.scale(30);
        for (Layer layer : model.layers().shown()) left += legend(g, layer, left, bottom) + UIScale.scale(18);
    }

    /** @return its width */
    private int legend(Graphics2D g, Layer layer, int left, int bottom) {
        int line = UIScale.scale(15);
        int[] colours = layer.colours();
        int count = layer.isParts() ? layer.parts().size() : 1;
        int height = line * (count + 1) + (layer.isParts() ? 0 : line);
        text(g, layer.title(), left, bottom - height + line, WORDS);
        int width = g.getFontMetrics().stringWidth(layer.title());
        if (layer.isParts()) {
            for (int part = 0; part < count; part++) {
                int y = bottom - height + (part + 2) * line;
                g.setColor(new Color(colours[part + 1]));
                g.fillRect(left, y - UIScale.scale(9), UIScale.scale(10), UIScale.scale(10));
                text(g, layer.parts().get(part), left + UIScale.scale(15), y, WORDS);
                width = Math.max(
                        width,
                        UIScale.scale(15)
                                + g.getFontMetrics().stringWidth(layer.parts().get(part)));
            }
            return width;
        }
        int bar = UIScale.scale(140);
        for (int x = 0; x < bar; x++) {
            g.setColor(new Color(colours[x * (Layer.COLOURS - 1) / Math.max(1, bar - 1)]));
            g.fillRect(left + x, bottom - height + line + UIScale.scale(5), 1, UIScale.scale(9));
        }
        text(g, number(layer.range().low()), left, bottom, WORDS);
        String high = (number(layer.range().high()) + " " + layer.unit()).strip();
        text(g, high, left + bar - g.getFontMetrics().stringWidth(high), bottom, WORDS);
        return Math.max(width, bar);
    }

    private static String number(double value) {
        return value == Math.rint(value) ? Long.toString((long) value) : String.format(Locale.ROOT, "%.3g", value);
    }

    // Light words on a light image: a dark edge below.
    private static void text(Graphics2D g, String words, int x, int base, Color colour) {
        g.setColor(new Color(0, 0, 0, 210));
        int edge = Math.max(1, UIScale.scale(1));
        g.drawString(words, x + edge, base + edge);
        g.setColor(colour);
        g.drawString(words, x, base);
    }

    private void blank(Graphics2D g) {
        Lightbox.Slot shown = model.lightbox().slots().get(slot);
        g.setFont(getFont().deriveFont(UIScale.scale(13f)));
        FontMetrics metrics = g.getFontMetrics();
        List<String> lines = new ArrayList<>(List.of(Picture.title(shown.series())));
        lines.addAll(wrapped(shown.problem().isEmpty() ? "is being read" : shown.problem(), metrics));
        int y = getHeight() / 2 - metrics.getHeight() * lines.size() / 2;
        for (String line : lines) {
            text(g, line, (getWidth() - metrics.stringWidth(line)) / 2, y, y > getHeight() / 2 ? DIM : WORDS);
            y += metrics.getHeight();
        }
    }

    private List<String> wrapped(String words, FontMetrics metrics) {
        List<String> lines = new ArrayList<>();
        StringBuilder line = new StringBuilder();
        for (String word : words.split(" ")) {
            if (line.length() > 0 && metrics.stringWidth(line + " " + word) > getWidth() - UIScale.scale(30)) {
                lines.add(line.toString());
                line.setLength(0);
            }
            line.append(line.length() == 0 ? "" : " ").append(word);
        }
        lines.add(line.toString());
        return lines;
    }

    // The series that keys act on has a line on its left.
    private void frame(Graphics2D g) {
        if (slot != model.lightbox().active()) return;
        g.setColor(CROSSHAIR);
        g.fillRect(0, 0, UIScale.scale(3), getHeight());
    }

    // ---- mouse

    private final class Hands extends MouseAdapter {
        private int lastX;
        private int lastY;

        @Override
        public void mousePressed(MouseEvent e) {
            lastX = e.getX();
            lastY = e.getY();
            requestFocusInWindow();
            if (isStroke(e)) at(e, point -> strokes.press(slot, point, e.isShiftDown()));
            else model.lightbox().activate(slot);
            if (isStroke(e) && e.getClickCount() == 2 && model.tool().hand() == Hand.POLYGON) strokes.close();
            repaint();
        }

        @Override
        public void mouseDragged(MouseEvent e) {
            int dx = e.getX() - lastX;
            int dy = e.getY() - lastY;
            lastX = e.getX();
            lastY = e.getY();
            mouse = Optional.of(new Point2D.Double(e.getX(), e.getY()));
            if (isStroke(e)) at(e, strokes::drag);
            else if (SwingUtilities.isRightMouseButton(e)) grey(dx, dy);
            else view().ifPresent(view -> model.lightbox().pan(view.step(-dx, -dy)));
            repaint();
        }

        @Override
        public void mouseReleased(MouseEvent e) {
            if (isStroke(e)) strokes.release();
            repaint();
        }

        @Override
        public void mouseMoved(MouseEvent e) {
            mouse = Optional.of(new Point2D.Double(e.getX(), e.getY()));
            if (model.tool().hand().hasWidth()) repaint();
        }

        @Override
        public void mouseExited(MouseEvent e) {
            mouse = Optional.empty();
            repaint();
        }

        @Override
        public void mouseWheelMoved(MouseWheelEvent e) {
            model.lightbox().activate(slot);
            if (e.isControlDown())
                at(e, point -> model.lightbox().zoom(Math.pow(ZOOM_STEP, -e.getPreciseWheelRotation()), point));
            else model.lightbox().scroll(slot, e.getWheelRotation());
        }

        private boolean isStroke(MouseEvent e) {
            return SwingUtilities.isLeftMouseButton(e) && !e.isControlDown();
        }

        private void at(MouseEvent e, Consumer<Point> then) {
            view().ifPresent(view -> then.accept(view.point(e.getX(), e.getY())));
        }

        private void grey(int dx, int dy) {
            GreyRange range = model.lightbox().slots().get(slot).range();
            model.lightbox().range(slot, range.wider(Math.exp(dx / 200.0)).moved(dy / 300.0));
        }
    }
}
