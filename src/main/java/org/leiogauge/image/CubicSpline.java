// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/**
 * The cubic B-spline that goes through the voxels: weights, and the coefficients of the voxels.
 *
 * <p>s(x) = Σ c(k) β³(x − k), with c such that s(k) is voxel k, mirrored at the first and the last voxel
 * (… c b | a b c …). Cost: two sweeps per axis.
 *
 * <p>Source: Unser 1999, doi:10.1109/79.799930, eq. 4 and box 2.
 */
public final class CubicSpline {
    private static final double POLE = Math.sqrt(3) - 2;
    // The pole's powers are below 1e-17 from here on.
    private static final int HORIZON = 30;

    private CubicSpline() {}

    /** One coefficient per voxel, x fastest. NaN spreads to whole lines. */
    public static double[] coefficients(Volume image) {
        Size size = image.grid().size();
        int plane = size.x() * size.y();
        double[] c = new double[size.voxels()];
        for (int i = 0; i < c.length; i++) c[i] = image.voxels()[i];
        for (int row = 0; row < c.length; row += size.x()) coefficients(c, row, size.x(), 1, 1);
        for (int z = 0; z < size.z(); z++) coefficients(c, z * plane, size.y(), size.x(), size.x());
        coefficients(c, 0, size.z(), plane, plane);
        return c;
    }

    /** β³ at t + 1, t, 1 − t and 2 − t, for 0 ≤ t &lt; 1. */
    public static void weights(double t, double[] into, int at) {
        double u = 1 - t;
        into[at] = u * u * u / 6;
        into[at + 1] = 2.0 / 3 - t * t * (2 - t) / 2;
        into[at + 2] = 2.0 / 3 - u * u * (2 - u) / 2;
        into[at + 3] = t * t * t / 6;
    }

    /** Replaces voxels by coefficients along one axis of a block of lines that lie side by side in memory. */
    static void coefficients(double[] c, int start, int length, int stride, int lines) {
        if (length == 1) return;
        // gain (1 − z)(1 − 1/z) = 6
        for (int k = 0; k < length; k++) {
            int row = start + k * stride;
            for (int i = row; i < row + lines; i++) c[i] *= 6;
        }
        causal(c, start, length, stride, lines);
        int last = start + (length - 1) * stride;
        double end = POLE / (POLE * POLE - 1);
        for (int i = 0; i < lines; i++) c[last + i] = end * (c[last + i] + POLE * c[last - stride + i]);
        for (int k = length - 2; k >= 0; k--) {
            int row = start + k * stride;
            for (int i = row; i < row + lines; i++) c[i] = POLE * (c[i + stride] - c[i]);
        }
    }

    private static void causal(double[] c, int start, int length, int stride, int lines) {
        // The mirrored signal has period 2 length − 2; its sum over the past is exact for short lines.
        int period = 2 * length - 2;
        boolean isShort = length <= HORIZON;
        int terms = isShort ? period : HORIZON;
        double power = POLE;
        double[] sum = new double[lines];
        for (int k = 1; k < terms; k++, power *= POLE) {
            int row = start + (k < length ? k : period - k) * stride;
            for (int i = 0; i < lines; i++) sum[i] += power * c[row + i];
        }
        double scale = isShort ? 1 / (1 - power) : 1;
        for (int i = 0; i < lines; i++) c[start + i] = (c[start + i] + sum[i]) * scale;
        for (int k = 1; k < length; k++) {
            int row = start + k * stride;
            for (int i = row; i < row + lines; i++) c[i] += POLE * c[i - stride];
        }
    }
}
