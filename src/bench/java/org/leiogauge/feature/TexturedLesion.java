// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;

/**
 * The benchmark's input: an ellipsoid of smoothed noise in noise, made in whole numbers only, so that any language makes
 * the same voxels. The noise is the sum of the four 16-bit parts of SplitMix64's finaliser of the voxel's number.
 */
record TexturedLesion(Volume image, Mask mask, Volume levels) {
    private static final int SUM_MEAN = 131_070;
    private static final int SUM_DEVIATION = 37_837;
    private static final int BOX_DEVIATION = 327_680;

    static final Grid LARGE = grid(new Size(512, 512, 64), new Spacing(0.7, 0.7, 2.5));

    /** 256 × 256 × 40 voxels, 400 096 of them in the lesion. */
    static TexturedLesion small() {
        return of(grid(new Size(256, 256, 40), new Spacing(0.9, 0.9, 3)), new double[] {75, 67, 19}, 11);
    }

    /** 512 × 512 × 64 voxels, 2 002 144 of them in the lesion. */
    static TexturedLesion large() {
        return of(LARGE, new double[] {135, 118, 30}, 21);
    }

    private static Grid grid(Size size, Spacing spacing) {
        return new Grid(size, spacing, DirectionCosines.AXIAL, new Point(0, 0, 0));
    }

    private static TexturedLesion of(Grid grid, double[] axes, long seed) {
        Size size = grid.size();
        byte[] inside = ellipsoid(size, axes);
        long[] smooth = box(box(box(noise(size.voxels(), seed), size, 0, 2), size, 1, 2), size, 2, 1);
        long[] rough = noise(size.voxels(), seed + 1);
        float[] voxels = new float[size.voxels()];
        for (int i = 0; i < voxels.length; i++) {
            long value = inside[i] != 0
                    ? 600 + Math.floorDiv(smooth[i] * 90, BOX_DEVIATION) + Math.floorDiv(rough[i] * 30, SUM_DEVIATION)
                    : 300 + Math.floorDiv(smooth[i] * 40, BOX_DEVIATION) + Math.floorDiv(rough[i] * 25, SUM_DEVIATION);
            voxels[i] = Math.max(0, Math.min(4095, value));
        }
        return new TexturedLesion(
                new Volume(grid, voxels), new Mask(grid, inside), new Volume(grid, levels(voxels, inside)));
    }

    private static byte[] ellipsoid(Size size, double[] axes) {
        byte[] inside = new byte[size.voxels()];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) {
                    double a = (x - (size.x() - 1) / 2.0) / axes[0];
                    double b = (y - (size.y() - 1) / 2.0) / axes[1];
                    double c = (z - (size.z() - 1) / 2.0) / axes[2];
                    inside[i] = (byte) (a * a + b * b + c * c <= 1 ? 1 : 0);
                }
        return inside;
    }

    private static long[] noise(int count, long seed) {
        long[] noise = new long[count];
        for (int i = 0; i < count; i++) {
            long z = (i + 1L) * 0x9E3779B97F4A7C15L + seed;
            z = (z ^ z >>> 30) * 0xBF58476D1CE4E5B9L;
            z = (z ^ z >>> 27) * 0x94D049BB133111EBL;
            z ^= z >>> 31;
            noise[i] = (z & 0xFFFF) + (z >>> 16 & 0xFFFF) + (z >>> 32 & 0xFFFF) + (z >>> 48) - SUM_MEAN;
        }
        return noise;
    }

    /** Sum over 2 r + 1 voxels along an axis, which goes round at the ends. */
    private static long[] box(long[] from, Size size, int axis, int r) {
        int stride = axis == 0 ? 1 : axis == 1 ? size.x() : size.x() * size.y();
        int length = axis == 0 ? size.x() : axis == 1 ? size.y() : size.z();
        long[] to = new long[from.length];
        for (int i = 0; i < from.length; i++) {
            int at = i / stride % length;
            for (int d = -r; d <= r; d++) to[i] += from[i + (Math.floorMod(at + d, length) - at) * stride];
        }
        return to;
    }

    private static float[] levels(float[] voxels, byte[] inside) {
        int low = Integer.MAX_VALUE;
        int high = Integer.MIN_VALUE;
        for (int i = 0; i < voxels.length; i++) {
            if (inside[i] == 0) continue;
            low = Math.min(low, (int) voxels[i]);
            high = Math.max(high, (int) voxels[i]);
        }
        float[] levels = new float[voxels.length];
        for (int i = 0; i < voxels.length; i++)
            if (inside[i] != 0) levels[i] = 1 + ((int) voxels[i] - low) * 64 / (high - low + 1);
        return levels;
    }
}
