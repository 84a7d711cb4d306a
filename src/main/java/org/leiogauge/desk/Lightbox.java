// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.study.Series;

/**
 * The series that hang side by side, and how they are looked at: the crosshair's place in patient space, slices, nearness,
 * grey levels. No window; for one thread.
 */
final class Lightbox {
    private static final double LEAST_ZOOM = 0.2;
    private static final double MOST_ZOOM = 40;

    private final Runnable changed;
    private List<Slot> slots = List.of();
    private int active;
    private int lead;
    private Point cursor = new Point(0, 0, 0);
    private Point centre = new Point(0, 0, 0);
    private double zoom = 1;

    /** @param changed told of every change */
    Lightbox(Runnable changed) {
        this.changed = changed;
    }

    /** A series on the desk: still being read, there, or not to be had. */
    static final class Slot {
        private final Series series;
        private Optional<Picture> picture = Optional.empty();
        private String problem = "";
        private int frame;
        private GreyRange range = new GreyRange(0, 1);

        private Slot(Series series) {
            this.series = series;
        }

        Series series() {
            return series;
        }

        Optional<Picture> picture() {
            return picture;
        }

        /** Why it cannot be shown; empty where it can, or is still being read. */
        String problem() {
            return problem;
        }

        int frame() {
            return frame;
        }

        GreyRange range() {
            return range;
        }
    }

    /** Hangs the series of another study, none of which has been read yet; who puts it on the desk tells of it. */
    void begin(List<Series> shown) {
        slots = shown.stream().map(Slot::new).toList();
        active = 0;
        lead = 0;
        zoom = 1;
    }

    /** A series has been read; the first one brings the crosshair into its middle. */
    void show(Picture picture) {
        boolean first = slots.stream().allMatch(slot -> slot.picture.isEmpty());
        for (Slot slot : slots)
            if (slot.series.id().equals(picture.series().id())) {
                slot.picture = Optional.of(picture);
                slot.frame = picture.firstFrame();
                slot.range = picture.range();
                if (first) lookAt(middle(picture.grid()));
            }
        changed.run();
    }

    /** A series cannot be read; who says so to the reader tells of it. */
    void fail(Series series, String why) {
        for (Slot slot : slots) if (slot.series.id().equals(series.id())) slot.problem = why;
    }

    List<Slot> slots() {
        return slots;
    }

    Optional<Picture> picture(int slot) {
        return slot < slots.size() ? slots.get(slot).picture : Optional.empty();
    }

    // ---- which series

    /** The series that keys act on. */
    int active() {
        return active;
    }

    void activate(int slot) {
        if (slot < 0 || slot >= slots.size() || slot == active) return;
        active = slot;
        changed.run();
    }

    Optional<Picture> activePicture() {
        return picture(active);
    }

    /** The series that has the largest place. */
    int lead() {
        return lead;
    }

    /** Gives the active series the largest place. */
    void leadActive() {
        lead = active;
        changed.run();
    }

    // ---- where

    Point cursor() {
        return cursor;
    }

    void moveCursor(Point to) {
        cursor = to;
        changed.run();
    }

    /** Moves the crosshair and the middle of all views. */
    void lookAt(Point point) {
        cursor = point;
        centre = point;
        changed.run();
    }

    /** The slice of a series that is nearest to the crosshair. */
    int slice(int slot) {
        Grid grid = picture(slot).orElseThrow().grid();
        long z = Math.round(grid.index(cursor).z());
        return (int) Math.max(0, Math.min(grid.size().z() - 1, z));
    }

    /** Moves the crosshair by slices of a series, onto the plane of the one it comes to. */
    void scroll(int slot, int slices) {
        picture(slot).ifPresent(picture -> {
            Grid grid = picture.grid();
            int z = Math.max(0, Math.min(grid.size().z() - 1, slice(slot) + slices));
            Index at = grid.index(cursor);
            moveCursor(grid.point(at.x(), at.y(), z));
        });
    }

    /** Moves the crosshair by pixels of the active series. */
    void nudge(int right, int down) {
        activePicture().ifPresent(picture -> {
            Grid grid = picture.grid();
            Index at = grid.index(cursor);
            Size size = grid.size();
            moveCursor(grid.point(
                    Math.max(0, Math.min(size.x() - 1, at.x() + right)),
                    Math.max(0, Math.min(size.y() - 1, at.y() + down)),
                    at.z()));
        });
    }

    // ---- how large, how bright

    Point centre() {
        return centre;
    }

    void pan(Vector by) {
        centre = centre.plus(by);
        changed.run();
    }

    double zoom() {
        return zoom;
    }

    /** @param about stays where it is */
    void zoom(double factor, Point about) {
        double next = Math.max(LEAST_ZOOM, Math.min(MOST_ZOOM, zoom * factor));
        centre = about.plus(centre.minus(about).times(zoom / next));
        zoom = next;
        changed.run();
    }

    void range(int slot, GreyRange range) {
        slots.get(slot).range = range;
        changed.run();
    }

    /** The next or last volume of a series that has several. */
    void step(int slot, int by) {
        picture(slot).ifPresent(picture -> {
            Slot shown = slots.get(slot);
            shown.frame = Math.floorMod(shown.frame + by, picture.frames());
            changed.run();
        });
    }

    /** All of the image, at the grey levels that it came with. */
    void reset() {
        zoom = 1;
        slots.forEach(slot -> slot.picture.ifPresent(picture -> slot.range = picture.range()));
        activePicture().ifPresent(picture -> centre = middle(picture.grid()));
        changed.run();
    }

    private static Point middle(Grid grid) {
        Size size = grid.size();
        return grid.point((size.x() - 1) / 2.0, (size.y() - 1) / 2.0, (size.z() - 1) / 2);
    }
}
