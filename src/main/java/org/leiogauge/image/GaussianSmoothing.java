// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;
import org.leiogauge.task.Workers;

/**
 * An image smoothed with a Gaussian whose width is given in mm, one axis after the other.
 *
 * <p>Weights exp(-x² / 2σ²), x in mm at voxel centres, cut off at {@code reach} · σ and scaled to sum 1. At the border
 * the outermost voxel goes on for ever. A NaN voxel spreads as far as the weights reach, but for
 * {@link #smoothInside}, which leaves it out. Cost: voxels × weights per axis.
 *
 * <p>Source: common practice; normalised convolution: Knutsson and Westin 1993, doi:10.1109/CVPR.1993.341081; what was
 * smoothed away smoothed again: Tukey 1977, Exploratory Data Analysis, from memory.
 */
public final class GaussianSmoothing {
    private GaussianSmoothing() {}

    /**
     * @param sigmaXMm standard deviation along the grid's x axis, in mm; 0: not along this axis
     * @param sigmaYMm along y
     * @param sigmaZMm along z
     * @param reach where the weights end, in standard deviations
     */
    public record Settings(double sigmaXMm, double sigmaYMm, double sigmaZMm, double reach) {
        public Settings {
            if (!(isWidth(sigmaXMm) && isWidth(sigmaYMm) && isWidth(sigmaZMm)))
                throw new IllegalArgumentException(
                        "sigma must be 0 mm or more, got " + sigmaXMm + ", " + sigmaYMm + ", " + sigmaZMm);
            if (!(reach >= 1 && reach <= 10)) throw new IllegalArgumentException("reach must be 1 to 10, got " + reach);
        }

        /** The same width along all axes, weights up to 4 standard deviations. */
        public static Settings of(double sigmaMm) {
            return new Settings(sigmaMm, sigmaMm, sigmaMm, 4);
        }

        private static boolean isWidth(double sigma) {
            return sigma >= 0 && sigma < Double.POSITIVE_INFINITY;
        }
    }

    public static Volume smooth(Volume image, Settings settings, Workers workers) {
        return new Volume(
                image.grid(), convolve(image.grid(), image.voxels(), Beyond.THE_BORDER_VOXEL, settings, workers));
    }

    /**
     * Smoothed by 1 - (1 - G)ⁿ in place of the Gaussian G: what was smoothed away is smoothed again and put back. From n = 2
     * on this filter has no second moment, so that what is bent evenly keeps its place and a ball its size. The standard
     * deviations are those of G.
     *
     * @param times n, 1 or more; the cost is n times that of G
     */
    public static Volume smoothKeepingBends(Volume image, Settings settings, int times, Workers workers) {
        if (times < 1) throw new IllegalArgumentException("times must be 1 or more, got " + times);
        float[] rest = image.voxels();
        float[] part = smooth(image, settings, workers).voxels();
        float[] sum = part;
        for (int time = 1; time < times; time++) {
            float[] left = new float[sum.length];
            for (int i = 0; i < left.length; i++) left[i] = rest[i] - part[i];
            part = smooth(new Volume(image.grid(), left), settings, workers).voxels();
            for (int i = 0; i < sum.length; i++) sum[i] += part[i];
            rest = left;
        }
        return new Volume(image.grid(), sum);
    }

    /**
     * Smoothed with the voxels of a region alone: the smoothed image times region over the smoothed region. NaN where no
     * voxel of the region is in reach. Voxels that are NaN count as outside.
     */
    public static Volume smoothInside(Volume image, Mask region, Settings settings, Workers workers) {
        if (!region.grid().size().equals(image.grid().size()))
            throw new IllegalArgumentException("region must have the image's size "
                    + image.grid().size() + ", got " + region.grid().size());
        int n = image.voxels().length;
        float[] weight = new float[n];
        float[] value = new float[n];
        for (int i = 0; i < n; i++) {
            float v = image.voxels()[i];
            if (region.voxels()[i] == 0 || Float.isNaN(v)) continue;
            weight[i] = 1;
            value[i] = v;
        }
        float[] sum = convolve(image.grid(), value, Beyond.NOTHING, settings, workers);
        float[] total = convolve(image.grid(), weight, Beyond.NOTHING, settings, workers);
        // below this the weights are rounding errors of the tails
        for (int i = 0; i < n; i++) sum[i] = total[i] > 1e-6f ? sum[i] / total[i] : Float.NaN;
        return new Volume(image.grid(), sum);
    }

    private enum Beyond {
        THE_BORDER_VOXEL,
        NOTHING
    }

    private static float[] convolve(Grid grid, float[] image, Beyond beyond, Settings settings, Workers workers) {
        Size size = grid.size();
        float[] alongX = weights(settings.sigmaXMm() / grid.spacing().x(), settings.reach());
        float[] alongY = weights(settings.sigmaYMm() / grid.spacing().y(), settings.reach());
        float[] alongZ = weights(settings.sigmaZMm() / grid.spacing().z(), settings.reach());
        int slice = size.x() * size.y();
        float[] half = new float[image.length];
        float[] result = new float[image.length];
        workers.forEach(size.y(), y -> {
            Rows rows = new Rows(size.x(), size.z(), beyond);
            rows.copy(image, y * size.x(), slice);
            for (int z = 0; z < size.z(); z++) {
                rows.combine(z, alongZ);
                rows.alongRow(alongX);
                System.arraycopy(rows.sum, 0, half, z * slice + y * size.x(), size.x());
            }
        });
        workers.forEach(size.z(), z -> {
            Rows rows = new Rows(size.x(), size.y(), beyond);
            rows.copy(half, z * slice, size.x());
            for (int y = 0; y < size.y(); y++) {
                rows.combine(y, alongY);
                System.arraycopy(rows.sum, 0, result, z * slice + y * size.x(), size.x());
            }
        });
        return result;
    }

    // Half of a symmetric set of weights: the middle one first.
    private static float[] weights(double sigma, double reach) {
        int radius = (int) (reach * sigma + 0.5);
        double[] w = new double[radius + 1];
        double sum = 0;
        for (int i = 0; i <= radius; i++) {
            w[i] = i == 0 ? 1 : Math.exp(-0.5 * i * i / (sigma * sigma));
            sum += i == 0 ? 1 : 2 * w[i];
        }
        float[] weights = new float[radius + 1];
        for (int i = 0; i <= radius; i++) weights[i] = (float) (w[i] / sum);
        return weights;
    }

    /**
     * The rows of a plane, each an array of its own: the virtual machine makes vector instructions of sums over whole
     * arrays, not of sums over parts of one.
     */
    private static final class Rows {
        private final float[][] rows;
        private final float[] nothing;
        private final Beyond beyond;
        private final float[] padded;
        private final float[][] left;
        private final float[][] right;
        private final float[] sum;

        Rows(int length, int count, Beyond beyond) {
            this.rows = new float[count][length];
            this.nothing = new float[length];
            this.beyond = beyond;
            this.padded = new float[length];
            this.left = new float[3][length];
            this.right = new float[3][length];
            this.sum = new float[length];
        }

        void copy(float[] image, int first, int stride) {
            for (int i = 0; i < rows.length; i++) System.arraycopy(image, first + i * stride, rows[i], 0, sum.length);
        }

        void combine(int at, float[] w) {
            begin(rows[at], w[0], sum);
            int k = 1;
            for (; k + 2 < w.length; k += 3)
                add(
                        row(at - k),
                        row(at + k),
                        w[k],
                        row(at - k - 1),
                        row(at + k + 1),
                        w[k + 1],
                        row(at - k - 2),
                        row(at + k + 2),
                        w[k + 2],
                        sum);
            for (; k < w.length; k++) add(row(at - k), row(at + k), w[k], sum);
        }

        void alongRow(float[] w) {
            System.arraycopy(sum, 0, padded, 0, sum.length);
            begin(padded, w[0], sum);
            int k = 1;
            for (; k + 2 < w.length; k += 3) {
                for (int i = 0; i < 3; i++) shift(k + i, left[i], right[i]);
                add(left[0], right[0], w[k], left[1], right[1], w[k + 1], left[2], right[2], w[k + 2], sum);
            }
            for (; k < w.length; k++) {
                shift(k, left[0], right[0]);
                add(left[0], right[0], w[k], sum);
            }
        }

        private float[] row(int i) {
            if (i >= 0 && i < rows.length) return rows[i];
            return beyond == Beyond.NOTHING ? nothing : rows[i < 0 ? 0 : rows.length - 1];
        }

        private void shift(int k, float[] left, float[] right) {
            int n = padded.length;
            int by = Math.min(k, n);
            boolean extend = beyond == Beyond.THE_BORDER_VOXEL;
            System.arraycopy(padded, 0, left, by, n - by);
            Arrays.fill(left, 0, by, extend ? padded[0] : 0);
            System.arraycopy(padded, by, right, 0, n - by);
            Arrays.fill(right, n - by, n, extend ? padded[n - 1] : 0);
        }

        private static void begin(float[] a, float w, float[] sum) {
            for (int x = 0; x < sum.length; x++) sum[x] = w * a[x];
        }

        private static void add(float[] a, float[] b, float w, float[] sum) {
            for (int x = 0; x < sum.length; x++) sum[x] += w * (a[x] + b[x]);
        }

        // Three weights at once, in the same order as one by one: the sums are read and written a third as often.
        private static void add(
                float[] a,
                float[] b,
                float u,
                float[] c,
                float[] d,
                float v,
                float[] e,
                float[] f,
                float w,
                float[] sum) {
            for (int x = 0; x < sum.length; x++)
                sum[x] = sum[x] + u * (a[x] + b[x]) + v * (c[x] + d[x]) + w * (e[x] + f[x]);
        }
    }
}
