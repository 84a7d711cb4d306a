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
 * Sums of several quantities around each place, weighted with a Gaussian: gathered in coarse cells, smoothed there, and
 * interpolated linearly where they are asked for.
 */
final class LocalShares {
    private static final double CELL_MM = 2.5;
    private static final double REACH = 3;

    private final Size fine;
    private final int[] factor;
    private final Size cells;
    private final Grid grid;
    private final GaussianSmoothing.Settings smoothing;
    final float[][] sums;

    LocalShares(Grid band, int quantities, double sigmaMm) {
        fine = band.size();
        Spacing s = band.spacing();
        factor = new int[] {per(s.x()), per(s.y()), per(s.z())};
        // a cell of nothing all around, so that what lies beyond the border counts as nothing
        cells = new Size(
                (fine.x() + factor[0] - 1) / factor[0] + 2,
                (fine.y() + factor[1] - 1) / factor[1] + 2,
                (fine.z() + factor[2] - 1) / factor[2] + 2);
        Spacing coarse = new Spacing(s.x() * factor[0], s.y() * factor[1], s.z() * factor[2]);
        grid = new Grid(cells, coarse, DirectionCosines.AXIAL, new Point(0, 0, 0));
        smoothing = new GaussianSmoothing.Settings(sigmaMm, sigmaMm, sigmaMm, REACH);
        sums = new float[quantities][cells.voxels()];
    }

    private static int per(double spacing) {
        return (int) Math.max(1, Math.round(CELL_MM / spacing));
    }

    /** The cell that a voxel lies in. */
    int cell(int x, int y, int z) {
        return ((z / factor[2] + 1) * cells.y() + y / factor[1] + 1) * cells.x() + x / factor[0] + 1;
    }

    int cells() {
        return cells.voxels();
    }

    void smooth(Workers workers) {
        workers.forEach(sums.length, k -> sums[k] = GaussianSmoothing.smooth(
                        new Volume(grid, sums[k]), smoothing, Workers.SINGLE)
                .voxels());
    }

    /** Where a voxel lies between cells: the first cell's offset and the three parts. */
    int corner(int x, int y, int z, float[] part) {
        int cx = along(x, 0, fine.x(), part);
        int cy = along(y, 1, fine.y(), part);
        int cz = along(z, 2, fine.z(), part);
        return (cz * cells.y() + cy) * cells.x() + cx;
    }

    private int along(int i, int axis, int size, float[] part) {
        float at = (i + 0.5f) / factor[axis] + 0.5f;
        int low = (int) at;
        part[axis] = at - low;
        return low;
    }

    float at(int quantity, int corner, float[] part) {
        return at(sums[quantity], cells.x(), cells.x() * cells.y(), corner, part);
    }

    int cellsX() {
        return cells.x();
    }

    int cellsY() {
        return cells.y();
    }

    static float at(float[] s, int dy, int dz, int corner, float[] part) {
        float a = mix(s, corner, dy, part);
        float b = mix(s, corner + dz, dy, part);
        return a + part[2] * (b - a);
    }

    private static float mix(float[] s, int i, int dy, float[] part) {
        float a = s[i] + part[0] * (s[i + 1] - s[i]);
        float b = s[i + dy] + part[0] * (s[i + dy + 1] - s[i + dy]);
        return a + part[1] * (b - a);
    }
}
