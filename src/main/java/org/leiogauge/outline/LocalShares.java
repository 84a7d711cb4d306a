// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Sums of several quantities around each place, weighted with a Gaussian: gathered in cells of about a third of its
 * standard deviation, smoothed there, and interpolated linearly where they are asked for. With finer cells outlines of the
 * synthetic studies were the same to 0.0001 of Dice.
 */
final class LocalShares {
    private static final double CELLS_PER_SIGMA = 3;
    private static final double REACH = 3;

    /** One array of cells per quantity. */
    final float[][] sums;

    private final Size fine;
    private final int[] factor;
    private final Size cells;
    private final Grid grid;
    private final GaussianSmoothing.Settings smoothing;

    LocalShares(Grid band, int quantities, double sigmaMm) {
        fine = band.size();
        Spacing s = band.spacing();
        double cell = sigmaMm / CELLS_PER_SIGMA;
        factor = new int[] {per(cell, s.x()), per(cell, s.y()), per(cell, s.z())};
        // a cell of nothing all around: what lies beyond the border counts for neither side
        cells = new Size(around(fine.x(), factor[0]), around(fine.y(), factor[1]), around(fine.z(), factor[2]));
        Spacing coarse = new Spacing(s.x() * factor[0], s.y() * factor[1], s.z() * factor[2]);
        grid = new Grid(cells, coarse, DirectionCosines.AXIAL, new Point(0, 0, 0));
        smoothing = new GaussianSmoothing.Settings(sigmaMm, sigmaMm, sigmaMm, REACH);
        sums = new float[quantities][cells.voxels()];
    }

    private static int per(double cell, double spacing) {
        return (int) Math.max(1, Math.round(cell / spacing));
    }

    private static int around(int voxels, int factor) {
        return (voxels + factor - 1) / factor + 2;
    }

    /** What is done with one voxel. */
    @FunctionalInterface
    interface Voxel {
        void add(int offset, int cell);
    }

    /** Goes through all voxels; no two threads work on one cell. */
    void gather(Voxel voxel, Workers workers) {
        workers.forEach(cells.z() - 2, layer -> {
            for (int z = layer * factor[2]; z < Math.min(fine.z(), (layer + 1) * factor[2]); z++)
                for (int y = 0; y < fine.y(); y++) {
                    int row = (z * fine.y() + y) * fine.x();
                    int first = ((layer + 1) * cells.y() + y / factor[1] + 1) * cells.x() + 1;
                    for (int x = 0; x < fine.x(); x++) voxel.add(row + x, first + x / factor[0]);
                }
        });
    }

    int cells() {
        return cells.voxels();
    }

    void smooth(Workers workers) {
        workers.forEach(
                sums.length,
                k -> sums[k] = GaussianSmoothing.smooth(new Volume(grid, sums[k]), smoothing, Workers.SINGLE)
                        .voxels());
    }

    /** Where a voxel lies between cells: the first cell's offset, and into {@code part} how far along each axis. */
    int corner(int offset, float[] part) {
        int cx = along(offset % fine.x(), 0, part);
        int cy = along(offset / fine.x() % fine.y(), 1, part);
        int cz = along(offset / fine.x() / fine.y(), 2, part);
        return (cz * cells.y() + cy) * cells.x() + cx;
    }

    private int along(int i, int axis, float[] part) {
        float at = (i + 0.5f) / factor[axis] + 0.5f;
        int low = (int) at;
        part[axis] = at - low;
        return low;
    }

    float at(int quantity, int corner, float[] part) {
        return at(sums[quantity], corner, part);
    }

    /** A value per cell, at a place between cells. */
    float at(float[] values, int corner, float[] part) {
        float a = mix(values, corner, part);
        float b = mix(values, corner + cells.x() * cells.y(), part);
        return a + part[2] * (b - a);
    }

    private float mix(float[] s, int i, float[] part) {
        float a = s[i] + part[0] * (s[i + 1] - s[i]);
        int next = i + cells.x();
        float b = s[next] + part[0] * (s[next + 1] - s[next]);
        return a + part[1] * (b - a);
    }
}
