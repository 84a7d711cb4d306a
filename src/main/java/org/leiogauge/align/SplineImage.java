// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.leiogauge.image.CubicSpline;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/**
 * An image between its voxels, with its gradient: the cubic B-spline through the voxels.
 *
 * <p>Source: Unser 1999, doi:10.1109/79.799930.
 */
final class SplineImage {
    private final Grid grid;
    private final float[] c;
    private final int row;
    private final int plane;
    private final double lastX;
    private final double lastY;
    private final double lastZ;

    private SplineImage(Grid grid, float[] c) {
        Size size = grid.size();
        this.grid = grid;
        this.c = c;
        this.row = size.x() + 3;
        this.plane = row * (size.y() + 3);
        this.lastX = size.x() - 1.0;
        this.lastY = size.y() - 1.0;
        this.lastZ = size.z() - 1.0;
    }

    /** @param image without NaN */
    static SplineImage of(Volume image) {
        Size size = image.grid().size();
        double[] inner = CubicSpline.coefficients(image);
        float[] c = new float[(size.x() + 3) * (size.y() + 3) * (size.z() + 3)];
        int to = 0;
        // one coefficient more before and two behind, mirrored as the spline's own definition says
        for (int z = -1; z < size.z() + 2; z++)
            for (int y = -1; y < size.y() + 2; y++) {
                int from = image.grid().offset(0, mirror(y, size.y()), mirror(z, size.z()));
                c[to] = (float) inner[from + mirror(-1, size.x())];
                for (int x = 0; x < size.x(); x++) c[to + 1 + x] = (float) inner[from + x];
                to += size.x() + 1;
                c[to++] = (float) inner[from + mirror(size.x(), size.x())];
                c[to++] = (float) inner[from + mirror(size.x() + 1, size.x())];
            }
        return new SplineImage(image.grid(), c);
    }

    private static int mirror(int i, int n) {
        if (n == 1) return 0;
        int period = 2 * n - 2;
        int inside = Math.floorMod(i, period);
        return inside < n ? inside : period - inside;
    }

    Grid grid() {
        return grid;
    }

    /** As below, at a point in patient space. */
    boolean at(Point point, double[] into) {
        Index i = grid.index(point);
        return at(i.x(), i.y(), i.z(), into);
    }

    /**
     * Value and gradient at an index.
     *
     * @param into value, and its slope per voxel along x, y and z
     * @return whether the index lies between the outermost voxels' centres, or half a voxel beyond; else nothing is written
     */
    boolean at(double atX, double atY, double atZ, double[] into) {
        if (!(atX >= -0.5 && atX <= lastX + 0.5 && atY >= -0.5 && atY <= lastY + 0.5)) return false;
        if (!(atZ >= -0.5 && atZ <= lastZ + 0.5)) return false;
        double x = Math.max(0, Math.min(lastX, atX));
        double y = Math.max(0, Math.min(lastY, atY));
        double z = Math.max(0, Math.min(lastZ, atZ));
        int ix = (int) x;
        int iy = (int) y;
        int iz = (int) z;
        double t = x - ix;
        double u = 1 - t;
        double a0 = u * u * u / 6;
        double a3 = t * t * t / 6;
        double a1 = 2.0 / 3 - t * t * (2 - t) / 2;
        double a2 = 1 - a0 - a1 - a3;
        double b0 = -u * u / 2;
        double b3 = t * t / 2;
        double b1 = t * (1.5 * t - 2);
        double b2 = -b0 - b1 - b3;
        double ty = y - iy;
        double w0 = weight(0, ty);
        double w1 = weight(1, ty);
        double w2 = weight(2, ty);
        double w3 = weight(3, ty);
        double s0 = slope(0, ty);
        double s1 = slope(1, ty);
        double s2 = slope(2, ty);
        double s3 = slope(3, ty);
        double tz = z - iz;
        double value = 0;
        double slopeX = 0;
        double slopeY = 0;
        double slopeZ = 0;
        int p = iz * plane + iy * row + ix;
        // row by row written out: as a loop it takes half as long again
        for (int k = 0; k < 4; k++, p += plane) {
            int q = p + row;
            int r = q + row;
            int s = r + row;
            double line0 = a0 * c[p] + a1 * c[p + 1] + a2 * c[p + 2] + a3 * c[p + 3];
            double line1 = a0 * c[q] + a1 * c[q + 1] + a2 * c[q + 2] + a3 * c[q + 3];
            double line2 = a0 * c[r] + a1 * c[r + 1] + a2 * c[r + 2] + a3 * c[r + 3];
            double line3 = a0 * c[s] + a1 * c[s + 1] + a2 * c[s + 2] + a3 * c[s + 3];
            double v = w0 * line0 + w1 * line1 + w2 * line2 + w3 * line3;
            double wz = weight(k, tz);
            value += wz * v;
            slopeX += wz
                    * (w0 * (b0 * c[p] + b1 * c[p + 1] + b2 * c[p + 2] + b3 * c[p + 3])
                            + w1 * (b0 * c[q] + b1 * c[q + 1] + b2 * c[q + 2] + b3 * c[q + 3])
                            + w2 * (b0 * c[r] + b1 * c[r + 1] + b2 * c[r + 2] + b3 * c[r + 3])
                            + w3 * (b0 * c[s] + b1 * c[s + 1] + b2 * c[s + 2] + b3 * c[s + 3]));
            slopeY += wz * (s0 * line0 + s1 * line1 + s2 * line2 + s3 * line3);
            slopeZ += slope(k, tz) * v;
        }
        into[0] = value;
        into[1] = slopeX;
        into[2] = slopeY;
        into[3] = slopeZ;
        return true;
    }

    static double weight(int k, double t) {
        double u = 1 - t;
        return switch (k) {
            case 0 -> u * u * u / 6;
            case 1 -> 2.0 / 3 - t * t * (2 - t) / 2;
            case 2 -> 2.0 / 3 - u * u * (2 - u) / 2;
            default -> t * t * t / 6;
        };
    }

    static double slope(int k, double t) {
        double u = 1 - t;
        return switch (k) {
            case 0 -> -u * u / 2;
            case 1 -> t * (1.5 * t - 2);
            case 2 -> u * (2 - 1.5 * u);
            default -> t * t / 2;
        };
    }
}
