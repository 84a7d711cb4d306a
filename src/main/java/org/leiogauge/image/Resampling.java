// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * A volume or a mask on another grid.
 *
 * <p>Values are worked out in double precision where the two grids have the same directions, in single precision where
 * they do not. A voxel of the new grid has its own value if its centre lies in the old
 * grid's voxels; between their outermost centres and their outer faces the border voxel is repeated. NaN spreads to every
 * voxel that it has a weight in, and for the cubic kernel to whole lines. Cost: a few operations per new voxel and axis
 * where the two grids have the same directions, 8 or 64 per new voxel where they do not.
 */
public final class Resampling {
    // An interpolated weight of exactly one half comes out as 0.49999… in some orders of summation.
    private static final double HALF = 0.5 - 1e-9;
    private static final double SAME_DIRECTION = 1e-9;

    private Resampling() {}

    /** How a value between voxels is had. */
    public enum Kernel {
        NEAREST(1),
        LINEAR(2),
        /** Cubic B-spline through the voxels. */
        CUBIC(4);

        private final int taps;

        Kernel(int taps) {
            this.taps = taps;
        }
    }

    /** What stands beyond the old grid. */
    public sealed interface Outside {
        /** The nearest voxel of the border. */
        record Border() implements Outside {}

        /** One value; NaN for none. */
        record Value(float value) implements Outside {}
    }

    /**
     * The standard's grid of another spacing over the same image: per axis with n voxels of spacing s and new spacing t,
     * ⌈n s / t⌉ voxels whose centre is the old grid's centre.
     *
     * <p>Source: IBSI reference manual, interpolation (VTM2), alignment by the grid centres.
     */
    public static Grid centredGrid(Grid grid, Spacing spacing) {
        Size size = grid.size();
        Size fitted = new Size(
                fit(size.x(), grid.spacing().x(), spacing.x()),
                fit(size.y(), grid.spacing().y(), spacing.y()),
                fit(size.z(), grid.spacing().z(), spacing.z()));
        Point origin = grid.point(
                first(size.x(), fitted.x(), spacing.x() / grid.spacing().x()),
                first(size.y(), fitted.y(), spacing.y() / grid.spacing().y()),
                first(size.z(), fitted.z(), spacing.z() / grid.spacing().z()));
        return new Grid(fitted, spacing, grid.direction(), origin);
    }

    /** The volume on another grid. */
    public static Volume onto(
            Volume image, Grid target, Kernel kernel, Outside outside, Workers workers, Progress progress) {
        return new Volume(target, values(image, target, kernel, outside, workers, progress));
    }

    /**
     * The mask on another grid, with nothing beyond the old one.
     *
     * @param kernel {@code NEAREST}, or {@code LINEAR}: the region where at least half of the interpolated weight is its
     */
    public static Mask onto(Mask mask, Grid target, Kernel kernel, Workers workers, Progress progress) {
        if (kernel == Kernel.CUBIC)
            throw new IllegalArgumentException("kernel of a mask must be nearest or linear, got cubic");
        float[] values = values(mask.asVolume(), target, kernel, new Outside.Value(0), workers, progress);
        byte[] voxels = new byte[values.length];
        for (int i = 0; i < values.length; i++) voxels[i] = (byte) (values[i] >= HALF ? 1 : 0);
        return new Mask(target, voxels);
    }

    private static int fit(int voxels, double spacing, double newSpacing) {
        double count = Math.ceil(voxels * spacing / newSpacing - 1e-6);
        if (count > Integer.MAX_VALUE - 8)
            throw new IllegalArgumentException("spacing must give fewer than 2³¹ voxels, got " + newSpacing + " mm");
        return Math.max(1, (int) count);
    }

    private static double first(int voxels, int newVoxels, double step) {
        return 0.5 * (voxels - 1 - (newVoxels - 1) * step);
    }

    private static float[] values(
            Volume image, Grid target, Kernel kernel, Outside outside, Workers workers, Progress progress) {
        Source source = new Source(image, kernel, outside);
        Size size = target.size();
        float[] values = new float[size.voxels()];
        int plane = size.x() * size.y();
        Slices slices =
                isAligned(image.grid(), target) ? new AlignedSlices(source, target) : new ObliqueSlices(source, target);
        workers.forEach(size.z(), z -> {
            slices.fill(z, values, z * plane);
            progress.at((z + 1.0) / size.z());
        });
        return values;
    }

    private static boolean isAligned(Grid a, Grid b) {
        return a.direction().x().dot(b.direction().x()) > 1 - SAME_DIRECTION
                && a.direction().y().dot(b.direction().y()) > 1 - SAME_DIRECTION
                && a.direction().z().dot(b.direction().z()) > 1 - SAME_DIRECTION
                && isSquare(a.direction());
    }

    private static boolean isSquare(DirectionCosines d) {
        return Math.abs(d.x().dot(d.y())) + Math.abs(d.y().dot(d.z())) + Math.abs(d.z().dot(d.x())) < SAME_DIRECTION;
    }

    /** Fills one slice of the result. */
    private interface Slices {
        void fill(int z, float[] values, int from);
    }

    /** What is interpolated: the voxels, or the spline's coefficients. */
    private static final class Source {
        final Grid grid;
        final int[] size;
        final int[] stride;
        final Kernel kernel;
        final Outside outside;
        private final float[] voxels;
        private final double[] coefficients;

        Source(Volume image, Kernel kernel, Outside outside) {
            grid = image.grid();
            size = new int[] {grid.size().x(), grid.size().y(), grid.size().z()};
            stride = new int[] {1, size[0], size[0] * size[1]};
            this.kernel = kernel;
            this.outside = outside;
            voxels = image.voxels();
            coefficients = kernel == Kernel.CUBIC ? CubicSpline.coefficients(image) : new double[0];
        }

        boolean isCubic() {
            return kernel == Kernel.CUBIC;
        }
    }

    /** The voxels and weights that make the value at one place along one axis. */
    private static void taps(double at, int size, Kernel kernel, int[] voxels, double[] weights, int from) {
        double inside = Math.max(0, Math.min(size - 1.0, at));
        if (kernel == Kernel.NEAREST) {
            voxels[from] = (int) Math.floor(inside + 0.5);
            weights[from] = 1;
            return;
        }
        int low = Math.min((int) inside, Math.max(0, size - 2));
        double t = inside - low;
        if (kernel == Kernel.LINEAR) {
            voxels[from] = low;
            voxels[from + 1] = Math.min(low + 1, size - 1);
            weights[from] = 1 - t;
            weights[from + 1] = t;
            return;
        }
        CubicSpline.weights(t, weights, from);
        for (int k = 0; k < 4; k++) voxels[from + k] = mirror(low - 1 + k, size);
    }

    private static int mirror(int index, int size) {
        if (size == 1) return 0;
        int period = 2 * size - 2;
        int inside = Math.floorMod(index, period);
        return inside < size ? inside : period - inside;
    }

    /** Along the axes one after the other: slices into one, rows into one, then along the row. */
    private static final class AlignedSlices implements Slices {
        private final Source source;
        private final int[] size;
        private final int taps;
        private final int[][] voxels = new int[3][];
        private final double[][] weights = new double[3][];
        private final boolean[][] isOutside = new boolean[3][];

        AlignedSlices(Source source, Grid target) {
            this.source = source;
            size = new int[] {
                target.size().x(), target.size().y(), target.size().z()
            };
            taps = source.kernel.taps;
            Index first = source.grid.index(target.origin());
            Spacing from = source.grid.spacing();
            Spacing to = target.spacing();
            axis(0, first.x(), to.x() / from.x());
            axis(1, first.y(), to.y() / from.y());
            axis(2, first.z(), to.z() / from.z());
        }

        private void axis(int axis, double first, double step) {
            int n = size[axis];
            voxels[axis] = new int[n * taps];
            weights[axis] = new double[n * taps];
            isOutside[axis] = new boolean[n];
            for (int k = 0; k < n; k++) {
                double at = first + k * step;
                taps(at, source.size[axis], source.kernel, voxels[axis], weights[axis], k * taps);
                isOutside[axis][k] = source.outside instanceof Outside.Value && !isWithin(at, source.size[axis]);
            }
        }

        @Override
        public void fill(int z, float[] values, int from) {
            double[] plane = plane(z);
            double[] row = new double[source.size[0]];
            for (int y = 0; y < size[1]; y++) {
                int to = from + y * size[0];
                boolean isRowOutside = isOutside[2][z] || isOutside[1][y];
                if (!isRowOutside) add(plane, row, y);
                for (int x = 0; x < size[0]; x++)
                    values[to + x] = isRowOutside || isOutside[0][x]
                            ? ((Outside.Value) source.outside).value()
                            : (float) along(row, x);
            }
        }

        private double[] plane(int z) {
            int length = source.stride[2];
            double[] plane = new double[length];
            for (int k = z * taps; k < (z + 1) * taps; k++) {
                double w = weights[2][k];
                int start = voxels[2][k] * length;
                if (w == 0) continue;
                if (source.isCubic()) for (int i = 0; i < length; i++) plane[i] += w * source.coefficients[start + i];
                else for (int i = 0; i < length; i++) plane[i] += w * source.voxels[start + i];
            }
            return plane;
        }

        private void add(double[] plane, double[] row, int y) {
            Arrays.fill(row, 0);
            for (int k = y * taps; k < (y + 1) * taps; k++) {
                double w = weights[1][k];
                int start = voxels[1][k] * row.length;
                if (w == 0) continue;
                for (int i = 0; i < row.length; i++) row[i] += w * plane[start + i];
            }
        }

        private double along(double[] row, int x) {
            double sum = 0;
            for (int k = x * taps; k < (x + 1) * taps; k++)
                if (weights[0][k] != 0) sum += weights[0][k] * row[voxels[0][k]];
            return sum;
        }
    }

    /** Each voxel by itself, at a place that moves along a straight line through the old grid. */
    private static final class ObliqueSlices implements Slices {
        private final Source source;
        private final Grid target;
        private final CubicAnywhere cubic;

        ObliqueSlices(Source source, Grid target) {
            this.source = source;
            this.target = target;
            cubic = new CubicAnywhere(source);
        }

        @Override
        public void fill(int z, float[] values, int from) {
            int nx = target.size().x();
            for (int y = 0; y < target.size().y(); y++) {
                Index first = source.grid.index(target.point(0, y, z));
                Index next = source.grid.index(target.point(1, y, z));
                row(first, next, values, from + y * nx, nx);
            }
        }

        private void row(Index first, Index next, float[] values, int from, int nx) {
            double dx = next.x() - first.x();
            double dy = next.y() - first.y();
            double dz = next.z() - first.z();
            int[] inner = inner(first, dx, dy, dz, nx);
            for (int i = 0; i < inner[0]; i++) values[from + i] = any(first, i, dx, dy, dz);
            if (source.kernel == Kernel.LINEAR) linear(first, dx, dy, dz, inner, values, from);
            else if (source.isCubic())
                for (int i = inner[0]; i < inner[1]; i++)
                    values[from + i] = cubic.inside(first.x() + i * dx, first.y() + i * dy, first.z() + i * dz);
            else for (int i = inner[0]; i < inner[1]; i++) values[from + i] = any(first, i, dx, dy, dz);
            for (int i = inner[1]; i < nx; i++) values[from + i] = any(first, i, dx, dy, dz);
        }

        /** From which voxel of the row to before which all taps lie inside the old grid. */
        private int[] inner(Index first, double dx, double dy, double dz, int nx) {
            int[] range = {0, nx};
            narrow(range, first.x(), dx, source.size[0] - 1);
            narrow(range, first.y(), dy, source.size[1] - 1);
            narrow(range, first.z(), dz, source.size[2] - 1);
            return range[0] < range[1] ? range : new int[] {nx, nx};
        }

        // One voxel less at both ends: round-off must not reach outside.
        private static void narrow(int[] range, double first, double step, double high) {
            double a = -first / step;
            double b = (high - first) / step;
            if (Math.abs(step) < 1e-9) {
                if (first < 1e-6 || first > high - 1e-6) range[1] = 0;
                return;
            }
            range[0] = Math.max(range[0], clamp(Math.ceil(Math.min(a, b)) + 1));
            range[1] = Math.min(range[1], clamp(Math.floor(Math.max(a, b)) - 1));
        }

        private static int clamp(double index) {
            return (int) Math.max(0, Math.min(1 << 30, index));
        }

        private float any(Index first, int i, double dx, double dy, double dz) {
            double x = first.x() + i * dx;
            double y = first.y() + i * dy;
            double z = first.z() + i * dz;
            int[] n = source.size;
            boolean isIn = isWithin(x, n[0]) && isWithin(y, n[1]) && isWithin(z, n[2]);
            if (!isIn && source.outside instanceof Outside.Value value) return value.value();
            if (source.kernel == Kernel.CUBIC) return cubic.at(x, y, z);
            return source.kernel == Kernel.LINEAR ? (float) linear(x, y, z) : nearest(x, y, z);
        }

        private void linear(Index first, double dx, double dy, double dz, int[] inner, float[] values, int from) {
            float[] v = source.voxels;
            int down = source.stride[1];
            int up = source.stride[2];
            double x0 = first.x();
            double y0 = first.y();
            double z0 = first.z();
            for (int i = inner[0]; i < inner[1]; i++) {
                double x = x0 + i * dx;
                double y = y0 + i * dy;
                double z = z0 + i * dz;
                int ix = (int) x;
                int iy = (int) y;
                int iz = (int) z;
                float tx = (float) (x - ix);
                float ty = (float) (y - iy);
                int p = iz * up + iy * down + ix;
                int q = p + up;
                float a = v[p] + tx * (v[p + 1] - v[p]);
                float b = v[p + down] + tx * (v[p + down + 1] - v[p + down]);
                float c = v[q] + tx * (v[q + 1] - v[q]);
                float d = v[q + down] + tx * (v[q + down + 1] - v[q + down]);
                float low = a + ty * (b - a);
                values[from + i] = low + (float) (z - iz) * (c + ty * (d - c) - low);
            }
        }

        private double linear(double atX, double atY, double atZ) {
            int[] n = source.size;
            double x = Math.max(0, Math.min(n[0] - 1.0, atX));
            double y = Math.max(0, Math.min(n[1] - 1.0, atY));
            double z = Math.max(0, Math.min(n[2] - 1.0, atZ));
            int ix = Math.max(0, Math.min((int) x, n[0] - 2));
            int iy = Math.max(0, Math.min((int) y, n[1] - 2));
            int iz = Math.max(0, Math.min((int) z, n[2] - 2));
            double tx = x - ix;
            int right = n[0] > 1 ? 1 : 0;
            int down = n[1] > 1 ? source.stride[1] : 0;
            int up = n[2] > 1 ? source.stride[2] : 0;
            int p = iz * source.stride[2] + iy * source.stride[1] + ix;
            float[] v = source.voxels;
            double a = v[p] + tx * (v[p + right] - v[p]);
            double b = v[p + down] + tx * (v[p + down + right] - v[p + down]);
            int q = p + up;
            double c = v[q] + tx * (v[q + right] - v[q]);
            double d = v[q + down] + tx * (v[q + down + right] - v[q + down]);
            double low = a + (y - iy) * (b - a);
            return low + (z - iz) * (c + (y - iy) * (d - c) - low);
        }

        private float nearest(double x, double y, double z) {
            int[] n = source.size;
            return source.voxels[
                    nearest(z, n[2]) * source.stride[2] + nearest(y, n[1]) * source.stride[1] + nearest(x, n[0])];
        }

        private static int nearest(double at, int size) {
            return (int) Math.floor(Math.max(0, Math.min(size - 1.0, at)) + 0.5);
        }
    }

    /**
     * The spline at any place, from coefficients in single precision that are mirrored beyond the border, so that all 64
     * of a place are there.
     */
    private static final class CubicAnywhere {
        private final int[] size;
        private final int down;
        private final int up;
        private final float[] c;

        CubicAnywhere(Source source) {
            size = source.size;
            down = size[0] + 3;
            up = down * (size[1] + 3);
            if (source.isCubic() && (size[0] + 3L) * (size[1] + 3L) * (size[2] + 3L) > Integer.MAX_VALUE - 8)
                throw new IllegalArgumentException(
                        "image must have fewer than 2³¹ voxels with its margin, got " + source.grid.size());
            c = source.isCubic() ? mirrored(source) : new float[0];
        }

        private float[] mirrored(Source source) {
            float[] mirrored = new float[up * (size[2] + 3)];
            int to = 0;
            for (int z = -1; z < size[2] + 2; z++)
                for (int y = -1; y < size[1] + 2; y++) {
                    int row = mirror(z, size[2]) * source.stride[2] + mirror(y, size[1]) * source.stride[1];
                    for (int x = -1; x < size[0] + 2; x++, to++)
                        mirrored[to] = (float) source.coefficients[row + mirror(x, size[0])];
                }
            return mirrored;
        }

        float at(double x, double y, double z) {
            return inside(clamp(x, size[0]), clamp(y, size[1]), clamp(z, size[2]));
        }

        private static double clamp(double at, int size) {
            return Math.max(0, Math.min(size - 1.0, at));
        }

        /** Between the outermost voxels. */
        float inside(double x, double y, double z) {
            int ix = (int) x;
            int iy = (int) y;
            int iz = (int) z;
            // Six times the weights of CubicSpline along each axis.
            float t = (float) (x - ix);
            float u = 1 - t;
            float a = u * u * u;
            float b = 4 - 3 * t * t * (2 - t);
            float d = 4 - 3 * u * u * (2 - u);
            float e = t * t * t;
            t = (float) (y - iy);
            u = 1 - t;
            float f = u * u * u;
            float g = 4 - 3 * t * t * (2 - t);
            float h = 4 - 3 * u * u * (2 - u);
            float k = t * t * t;
            t = (float) (z - iz);
            u = 1 - t;
            int p = iz * up + iy * down + ix;
            float sum = u * u * u * slice(p, a, b, d, e, f, g, h, k);
            sum += (4 - 3 * t * t * (2 - t)) * slice(p + up, a, b, d, e, f, g, h, k);
            sum += (4 - 3 * u * u * (2 - u)) * slice(p + 2 * up, a, b, d, e, f, g, h, k);
            sum += t * t * t * slice(p + 3 * up, a, b, d, e, f, g, h, k);
            return sum * (1f / 216);
        }

        private float slice(int p, float a, float b, float d, float e, float f, float g, float h, float k) {
            return f * row(p, a, b, d, e)
                    + g * row(p + down, a, b, d, e)
                    + h * row(p + 2 * down, a, b, d, e)
                    + k * row(p + 3 * down, a, b, d, e);
        }

        private float row(int p, float a, float b, float d, float e) {
            return a * c[p] + b * c[p + 1] + d * c[p + 2] + e * c[p + 3];
        }
    }

    private static boolean isWithin(double index, int size) {
        // A voxel on the outer face is in, whatever the round-off of its place.
        return index >= -0.5 - 1e-9 && index <= size - 0.5 + 1e-9;
    }
}
