// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;

/** A stroke on its way, by mouse or by keys, and what becomes of it when it ends. No window; for one thread. */
final class Strokes {
    private static final int ELLIPSE_POINTS = 96;

    private final DeskModel model;
    private final Lightbox lightbox;
    private final Tool tool;
    private final DrawnLesion lesion;
    private final List<Point> path = new ArrayList<>();
    private int slot = -1;
    private int slice;
    private boolean taking;

    Strokes(DeskModel model) {
        this.model = model;
        this.lightbox = model.lightbox();
        this.tool = model.tool();
        this.lesion = model.lesion();
    }

    /** The stroke so far, in patient space; empty if none is on its way. */
    List<Point> path() {
        return List.copyOf(path);
    }

    boolean isOpen() {
        return !path.isEmpty();
    }

    /** The series that the stroke is made on. */
    int slot() {
        return slot;
    }

    boolean isTaking() {
        return taking;
    }

    /** @param away whether the stroke takes away instead of adding */
    void press(int on, Point point, boolean away) {
        lightbox.activate(on);
        switch (tool.hand()) {
            case LOOK -> lightbox.moveCursor(point);
            case REFERENCE -> refer(point);
            case POLYGON -> corner(on, point, away);
            default -> begin(on, point, away);
        }
    }

    void drag(Point point) {
        if (tool.hand() == Hand.LOOK) {
            lightbox.moveCursor(point);
            return;
        }
        if (path.isEmpty() || tool.hand() == Hand.POLYGON) return;
        if (tool.hand() == Hand.ELLIPSE && path.size() > 1) path.remove(1);
        path.add(point);
    }

    void release() {
        if (!path.isEmpty() && tool.hand() != Hand.POLYGON) finish();
    }

    /** The same by key, at the crosshair: corners of a line or an ellipse, a dab of the brush, a reference region. */
    void point(int on, boolean away) {
        Point at = lightbox.cursor();
        switch (tool.hand()) {
            case LOOK -> model.say("Choose what to draw first.");
            case REFERENCE -> refer(at);
            case FREEHAND, POLYGON -> corner(on, at, away);
            case ELLIPSE -> {
                corner(on, at, away);
                if (path.size() == 2) finish();
            }
            default -> {
                begin(on, at, away);
                if (isOpen()) finish();
            }
        }
    }

    /** Joins the last point to the first. @return whether there was a line to join */
    boolean close() {
        if (path.isEmpty()) return false;
        finish();
        return true;
    }

    /** Takes the last corner back. @return whether there was one */
    boolean back() {
        if (path.isEmpty()) return false;
        path.remove(path.size() - 1);
        model.say("");
        return true;
    }

    /** Lets the stroke go. @return whether there was one */
    boolean drop() {
        if (path.isEmpty()) return false;
        path.clear();
        model.say("");
        return true;
    }

    private void refer(Point about) {
        model.references().place(about, tool.tissue(), tool.ballMm());
    }

    private void corner(int on, Point point, boolean away) {
        if (path.isEmpty()) begin(on, point, away);
        else if (on == slot && lightbox.slice(on) == slice) path.add(point);
        else model.say("The line began on another slice: go back, or press Escape to drop it.");
    }

    private void begin(int on, Point point, boolean away) {
        path.clear();
        if (lesion.drawOn(on).isEmpty()) return;
        slot = on;
        slice = lightbox.slice(on);
        taking = away;
        path.add(point);
    }

    private void finish() {
        List<Point> line = List.copyOf(path);
        path.clear();
        Optional<Drawing> on = lesion.drawOn(slot);
        if (on.isEmpty()) return;
        Drawing drawing = on.get();
        switch (tool.hand()) {
            case ELLIPSE -> drawing.fill(slice, ellipse(drawing.grid(), line), !taking);
            case BRUSH -> drawing.brush(slice, line, tool.brushMm(), !taking);
            case ADD, TAKE -> drawing.correct(slice, line, tool.brushMm(), tool.hand() == Hand.ADD);
            default -> drawing.fill(slice, line, !taking);
        }
        if (tool.hand() == Hand.ADD || tool.hand() == Hand.TAKE) lesion.corrected();
        else lesion.edited();
    }

    /** The ellipse in the box between two corners, along the axes of the image. */
    static List<Point> ellipse(Grid grid, List<Point> corners) {
        Index a = grid.index(corners.get(0));
        Index b = grid.index(corners.get(corners.size() - 1));
        List<Point> line = new ArrayList<>();
        for (int i = 0; i < ELLIPSE_POINTS; i++) {
            double turn = 2 * Math.PI * i / ELLIPSE_POINTS;
            line.add(grid.point(
                    (a.x() + b.x()) / 2 + (b.x() - a.x()) / 2 * Math.cos(turn),
                    (a.y() + b.y()) / 2 + (b.y() - a.y()) / 2 * Math.sin(turn),
                    a.z()));
        }
        return line;
    }
}
