// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import org.leiogauge.task.Workers;

/**
 * Distance in mm from each voxel centre to the nearest voxel centre of a region, exact for any spacing.
 *
 * <p>d(p)² = min over q in the region of Σ (sᵢ (pᵢ - qᵢ))², one axis after the other: along each line the lower envelope
 * of the parabolas s²(p - q)² + f(q). Linear time in the number of voxels. Held as {@code float}: squares are rounded at
 * 2⁻²⁴ of their size. What lies outside the grid counts as neither side.
 *
 * <p>Source: Felzenszwalb and Huttenlocher 2012, Distance transforms of sampled functions, doi:10.4086/toc.2012.v008a019.
 */
public final class DistanceTransform {
    // Columns that are worked on together, so that a line of the cache serves all of them.
    private static final int BLOCK = 16;
    private static final float FAR = Float.POSITIVE_INFINITY;

    private DistanceTransform() {}

    /** Distance to the nearest voxel of the region: 0 in it; infinite everywhere if it is empty. In mm. */
    public static Volume toRegion(Mask region, Workers workers) {
        return new Volume(region.grid(), distances(region, (byte) 1, workers));
    }

    /**
     * Distance to the nearest voxel of the other side, negative inside the region, in mm; infinite if a side is empty.
     *
     * <p>No voxel has the value 0: on both sides of a face between neighbours the distance is one spacing, and the border
     * lies half-way.
     */
    public static Volume signed(Mask region, Workers workers) {
        float[] outside = distances(region, (byte) 1, workers);
        float[] inside = distances(region, (byte) 0, workers);
        for (int i = 0; i < outside.length; i++) outside[i] -= inside[i];
        return new Volume(region.grid(), outside);
    }

    private static float[] distances(Mask region, byte target, Workers workers) {
        Size size = region.grid().size();
        Spacing spacing = region.grid().spacing();
        float[] d = new float[size.voxels()];
        int slice = size.x() * size.y();
        workers.forEach(size.z(), z -> {
            for (int y = 0; y < size.y(); y++)
                alongRow(region.voxels(), target, d, z * slice + y * size.x(), size.x(), spacing.x());
            Lines lines = new Lines(size.y(), spacing.y());
            for (int x = 0; x < size.x(); x += BLOCK)
                lines.run(d, z * slice + x, Math.min(BLOCK, size.x() - x), size.x(), false);
        });
        workers.forEach(size.y(), y -> {
            Lines lines = new Lines(size.z(), spacing.z());
            for (int x = 0; x < size.x(); x += BLOCK)
                lines.run(d, y * size.x() + x, Math.min(BLOCK, size.x() - x), slice, true);
        });
        return d;
    }

    // Squared distance to the nearest target of the row, by one sweep each way.
    private static void alongRow(byte[] mask, byte target, float[] d, int row, int length, double spacing) {
        float square = (float) (spacing * spacing);
        int last = -1;
        for (int x = 0; x < length; x++) {
            if (mask[row + x] == target) {
                last = x;
                d[row + x] = 0;
            } else d[row + x] = last < 0 ? FAR : x - last;
        }
        if (last < 0) return;
        int next = last;
        for (int x = length - 1; x >= 0; x--) {
            float left = d[row + x];
            if (left == 0) next = x;
            else {
                float nearest = next > x ? Math.min(left, next - x) : left;
                d[row + x] = nearest * nearest * square;
            }
        }
    }

    /** Buffers for lines of one length and spacing. */
    private static final class Lines {
        private final int length;
        private final double square;
        private final float[][] lines;
        private final float[] lowest;
        private final int[] apex;
        private final double[] from;
        private final double[] reciprocal;

        Lines(int length, double spacing) {
            this.length = length;
            this.square = spacing * spacing;
            this.lines = new float[BLOCK][length];
            this.lowest = new float[length];
            this.apex = new int[length];
            this.from = new double[length];
            this.reciprocal = new double[length];
            for (int i = 1; i < length; i++) reciprocal[i] = 1 / (2 * square * i);
        }

        void run(float[] d, int first, int count, int stride, boolean root) {
            float any = 0;
            for (int p = 0; p < length; p++) {
                int at = first + p * stride;
                for (int c = 0; c < count; c++) any = Math.max(any, lines[c][p] = d[at + c]);
            }
            if (any == 0) return;
            for (int c = 0; c < count; c++) transform(lines[c]);
            for (int p = 0; p < length; p++) {
                int at = first + p * stride;
                for (int c = 0; c < count; c++) d[at + c] = root ? (float) Math.sqrt(lines[c][p]) : lines[c][p];
            }
        }

        // Between two zeros nothing beyond them can be nearer, so each run of positive values stands alone.
        private void transform(float[] f) {
            for (int p = 0; p < length; p++) {
                if (f[p] == 0) continue;
                int end = p;
                while (end < length && f[end] > 0) end++;
                lowerEnvelope(f, Math.max(p - 1, 0), Math.min(end, length - 1), p, end);
                p = end;
            }
        }

        private void lowerEnvelope(float[] f, int lo, int hi, int first, int end) {
            int k = -1;
            for (int p = lo; p <= hi; p++) {
                if (f[p] == FAR) continue;
                double start = Double.NEGATIVE_INFINITY;
                while (k >= 0) {
                    int v = apex[k];
                    start = ((double) f[p] - f[v]) * reciprocal[p - v] + 0.5 * (p + v);
                    if (start > from[k]) break;
                    k--;
                }
                if (k < 0) start = Double.NEGATIVE_INFINITY;
                k++;
                apex[k] = p;
                from[k] = start;
            }
            if (k < 0) return;
            int j = 0;
            for (int p = first; p < end; p++) {
                while (j < k && from[j + 1] < p) j++;
                double away = p - apex[j];
                lowest[p] = (float) (square * away * away + f[apex[j]]);
            }
            System.arraycopy(lowest, first, f, first, end - first);
        }
    }
}
