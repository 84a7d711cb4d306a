// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.geom.AffineTransform;
import java.awt.geom.Point2D;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * How one slice lies on a pane.
 *
 * @param slice of the grid
 * @param centre the place in patient space that lies in the pane's middle, but for its distance to the slice
 * @param pixelsPerMm of the pane
 */
record View(Grid grid, int slice, Point centre, double pixelsPerMm, int width, int height) {
    View {
        if (!(pixelsPerMm > 0 && pixelsPerMm < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException("pixelsPerMm must be finite and > 0, got " + pixelsPerMm);
    }

    /** How large all of a series is drawn to fit a pane. */
    static double fitting(Grid grid, int width, int height) {
        double wide = grid.size().x() * grid.spacing().x();
        double high = grid.size().y() * grid.spacing().y();
        return Math.max(1e-3, Math.min(width / wide, height / high));
    }

    /** Where a place in patient space lies on the pane, straight onto the slice. */
    Point2D.Double pane(Point point) {
        Vector d = point.minus(centre);
        return new Point2D.Double(
                width / 2.0 + d.dot(grid.direction().x()) * pixelsPerMm,
                height / 2.0 + d.dot(grid.direction().y()) * pixelsPerMm);
    }

    /** The place on the slice under a pixel of the pane. */
    Point point(double x, double y) {
        Index middle = grid.index(centre);
        double right = (x - width / 2.0) / pixelsPerMm;
        double down = (y - height / 2.0) / pixelsPerMm;
        return grid.point(
                middle.x() + right / grid.spacing().x(),
                middle.y() + down / grid.spacing().y(),
                slice);
    }

    /** The step in patient space of so many pixels of the pane. */
    Vector step(double x, double y) {
        return grid.direction()
                .x()
                .times(x / pixelsPerMm)
                .plus(grid.direction().y().times(y / pixelsPerMm));
    }

    /** Of how many voxels one is enough to fill the pane's pixels. */
    int every() {
        double voxelsPerPixel =
                1 / (pixelsPerMm * Math.max(grid.spacing().x(), grid.spacing().y()));
        return (int) Math.max(1, Math.floor(voxelsPerPixel));
    }

    /**
     * From an image of one pixel per voxel to the pane.
     *
     * @param every of so many voxels along x and y one has a pixel, beginning with the first
     */
    AffineTransform image(int every) {
        // the first pixel's middle lies on the first voxel's
        double before = every / 2.0;
        Point2D.Double corner = pane(grid.point(-before, -before, slice));
        return new AffineTransform(
                every * grid.spacing().x() * pixelsPerMm,
                0,
                0,
                every * grid.spacing().y() * pixelsPerMm,
                corner.x,
                corner.y);
    }

    /** How far a place is from the slice's plane, in mm. */
    double away(Point point) {
        return Math.abs(grid.index(point).z() - slice) * grid.spacing().z();
    }
}
