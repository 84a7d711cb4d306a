// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.awt.event.MouseWheelEvent;
import java.awt.geom.Point2D;
import java.util.Optional;
import java.util.function.Consumer;
import javax.swing.SwingUtilities;
import org.leiogauge.image.Point;

/** What the mouse does on the image of one series: strokes, slices, nearness, grey levels. For the event thread. */
final class PaneMouse extends MouseAdapter {
    private static final double ZOOM_STEP = 1.15;

    private final SeriesPane pane;
    private final int slot;
    private final Lightbox lightbox;
    private final Tool tool;
    private final Strokes strokes;
    private int lastX;
    private int lastY;
    private Optional<Point2D.Double> place = Optional.empty();

    PaneMouse(SeriesPane pane, int slot, Lightbox lightbox, Tool tool, Strokes strokes) {
        this.pane = pane;
        this.slot = slot;
        this.lightbox = lightbox;
        this.tool = tool;
        this.strokes = strokes;
    }

    /** Where it is on the pane; none if it is elsewhere. */
    Optional<Point2D.Double> place() {
        return place;
    }

    @Override
    public void mousePressed(MouseEvent e) {
        lastX = e.getX();
        lastY = e.getY();
        pane.requestFocusInWindow();
        if (isStroke(e)) at(e, point -> strokes.press(slot, point, e.isShiftDown()));
        else lightbox.activate(slot);
        if (isStroke(e) && e.getClickCount() == 2 && tool.hand() == Hand.POLYGON) strokes.close();
        pane.repaint();
    }

    @Override
    public void mouseDragged(MouseEvent e) {
        int dx = e.getX() - lastX;
        int dy = e.getY() - lastY;
        lastX = e.getX();
        lastY = e.getY();
        place = Optional.of(new Point2D.Double(e.getX(), e.getY()));
        if (isStroke(e)) at(e, strokes::drag);
        else if (SwingUtilities.isRightMouseButton(e)) grey(dx, dy);
        else pane.view().ifPresent(view -> lightbox.pan(view.step(-dx, -dy)));
        pane.repaint();
    }

    @Override
    public void mouseReleased(MouseEvent e) {
        if (isStroke(e)) strokes.release();
        pane.repaint();
    }

    @Override
    public void mouseMoved(MouseEvent e) {
        place = Optional.of(new Point2D.Double(e.getX(), e.getY()));
        if (tool.hand().hasWidth()) pane.repaint();
    }

    @Override
    public void mouseExited(MouseEvent e) {
        place = Optional.empty();
        pane.repaint();
    }

    @Override
    public void mouseWheelMoved(MouseWheelEvent e) {
        lightbox.activate(slot);
        if (e.isControlDown()) at(e, point -> lightbox.zoom(Math.pow(ZOOM_STEP, -e.getPreciseWheelRotation()), point));
        else lightbox.scroll(slot, e.getWheelRotation());
    }

    private static boolean isStroke(MouseEvent e) {
        return SwingUtilities.isLeftMouseButton(e) && !e.isControlDown();
    }

    private void at(MouseEvent e, Consumer<Point> then) {
        pane.view().ifPresent(view -> then.accept(view.point(e.getX(), e.getY())));
    }

    private void grey(int dx, int dy) {
        GreyRange range = lightbox.slots().get(slot).range();
        lightbox.range(slot, range.wider(Math.exp(dx / 200.0)).moved(dy / 300.0));
    }
}
