// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Seed;

/**
 * Echo-planar distortion: what the image shows at y is the object at y + d(y), times 1 + ∂d/∂y, with d a smooth field in
 * mm along the image's y, the phase encoding.
 *
 * <p>Each voxel gets the object's integral between the places of its two edges, so that what is moved is neither lost nor
 * made. Source: Jezzard and Balaban 1995, doi:10.1002/mrm.1910340111.
 */
final class Distortion {
    /** Rows of the undistorted image per row of the distorted one. */
    static final int FINER = 2;

    private static final int WAVES = 64;
    private static final long DRAW = 6;
    private static final Vector[] NO_BOX = {};

    private final RandomField field;
    private final double amplitudeMm;

    Distortion(PhantomSettings settings) {
        field = new RandomField(
                new Seed(settings.seed()), DRAW, WAVES, settings.scanner().distortionLengthMm());
        amplitudeMm = settings.scanner().distortionMm();
    }

    /** The grid that the undistorted image is to be made on. */
    static Grid finer(Grid grid) {
        Size n = grid.size();
        Spacing s = grid.spacing();
        return new Grid(
                new Size(n.x(), n.y() * FINER, n.z()),
                new Spacing(s.x(), s.y() / FINER, s.z()),
                grid.direction(),
                grid.point(0, 0.5 / FINER - 0.5, 0));
    }

    /** Displacement d in mm at the edges between the rows of slice z: rows + 1 times columns. */
    double[][] edges(Grid grid, int z) {
        double[][] edges = new double[grid.size().y() + 1][grid.size().x()];
        for (int y = 0; y < edges.length; y++) {
            var p = grid.point(0, y - 0.5, z);
            field.row(
                    new double[] {p.x(), p.y(), p.z()},
                    grid.stepX(),
                    NO_BOX,
                    edges[y],
                    grid.size().x());
            for (int x = 0; x < edges[y].length; x++) edges[y][x] *= amplitudeMm;
        }
        return edges;
    }

    /**
     * Distorts one slice.
     *
     * @param fine the undistorted slice on the finer grid
     * @param at where the slice begins in {@code target}
     */
    static void apply(Grid grid, double[][] edges, float[] fine, float[] target, int at) {
        int columns = grid.size().x();
        int rows = grid.size().y();
        double[] sum = new double[rows * FINER + 1];
        for (int x = 0; x < columns; x++) {
            for (int y = 0; y < rows * FINER; y++) sum[y + 1] = sum[y] + fine[y * columns + x];
            double before = until(sum, FINER * edges[0][x] / grid.spacing().y());
            for (int y = 0; y < rows; y++) {
                double now = until(
                        sum, FINER * (y + 1 + edges[y + 1][x] / grid.spacing().y()));
                target[at + y * columns + x] = (float) (Math.max(0, now - before) / FINER);
                before = now;
            }
        }
    }

    // Integral of the column up to a place.
    private static double until(double[] sum, double place) {
        double inside = Math.min(Math.max(place, 0), sum.length - 1.0);
        int i = Math.min((int) inside, sum.length - 2);
        return sum[i] + (inside - i) * (sum[i + 1] - sum[i]);
    }
}
