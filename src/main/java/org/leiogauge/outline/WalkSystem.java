package org.leiogauge.outline;

import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.task.Workers;

/** (L + γ) p = γ s + what the fixed voxels pull. */
final class WalkSystem {
    private static final int BLOCK = 1 << 14;
    private static final int MOST = 200;
    private static final double TOLERANCE = 1e-4;

    private final int n;
    private final int[] neighbours;
    private final float[] weights;
    private final float[] diagonal;
    private final float[] pull;
    private final float trust;

    WalkSystem(Band band, double beta, float trust) {
        this.trust = trust;
        n = band.open.length;
        neighbours = new int[6 * n];
        weights = new float[6 * n];
        diagonal = new float[n];
        pull = new float[n];
        Size size = band.size();
        Spacing s = band.grid.spacing();
        double least = Math.min(s.x(), Math.min(s.y(), s.z()));
        int[] step = {1, size.x(), size.x() * size.y()};
        int[] extent = {size.x(), size.y(), size.z()};
        double[] spacing = {s.x(), s.y(), s.z()};
        double scale = typicalStep(band);
        for (int j = 0; j < n; j++) {
            int i = band.open[j];
            diagonal[j] = trust;
            for (int axis = 0; axis < 3; axis++) {
                int at = i / step[axis] % extent[axis];
                double length = (least / spacing[axis]) * (least / spacing[axis]);
                for (int side = 0; side < 2; side++) {
                    int slot = 6 * j + 2 * axis + side;
                    neighbours[slot] = n;
                    if (side == 0 ? at == 0 : at == extent[axis] - 1) continue;
                    int other = i + (side == 0 ? -step[axis] : step[axis]);
                    float w = (float) (length * weight(band, i, other, beta, scale));
                    diagonal[j] += w;
                    if (band.place[other] >= 0) {
                        neighbours[slot] = band.place[other];
                        weights[slot] = w;
                    } else if (band.place[other] == Band.INSIDE) pull[j] += w;
                }
            }
        }
    }

    private static double weight(Band band, int i, int other, double beta, double scale) {
        double sum = 0;
        for (float[] channel : band.channels) {
            float d = channel[i] - channel[other];
            if (!Float.isNaN(d)) sum += (double) d * d;
        }
        return Math.exp(-beta * sum / scale) + 1e-4;
    }

    // Mean square of the steps between neighbours of the band along x.
    private static double typicalStep(Band band) {
        double sum = 0;
        int count = 0;
        for (int j = 0; j + 1 < band.open.length; j++) {
            int i = band.open[j];
            if (band.open[j + 1] != i + 1) continue;
            for (float[] channel : band.channels) {
                float d = channel[i + 1] - channel[i];
                if (!Float.isNaN(d)) sum += (double) d * d;
            }
            count++;
        }
        return count == 0 || sum == 0 ? 1 : sum / count;
    }

    float[] solve(float[] s, float[] start, Workers workers) {
        int blocks = (n + BLOCK - 1) / BLOCK;
        float[] x = java.util.Arrays.copyOf(start, n + 1);
        float[] r = new float[n];
        float[] d = new float[n + 1];
        float[] q = new float[n];
        double[] sums = new double[2 * blocks];
        workers.forEach(blocks, b -> {
            double rz = 0;
            double size = 0;
            for (int j = b * BLOCK; j < Math.min(n, (b + 1) * BLOCK); j++) {
                float right = trust * s[j] + pull[j];
                r[j] = right - times(x, j);
                d[j] = r[j] / diagonal[j];
                rz += (double) r[j] * d[j];
                size += (double) right * right / diagonal[j];
            }
            sums[b] = rz;
            sums[blocks + b] = size;
        });
        double rz = sum(sums, 0, blocks);
        double goal = TOLERANCE * TOLERANCE * sum(sums, blocks, 2 * blocks);
        for (int k = 0; k < MOST && rz > goal; k++) {
            workers.forEach(blocks, b -> {
                double dq = 0;
                for (int j = b * BLOCK; j < Math.min(n, (b + 1) * BLOCK); j++) {
                    q[j] = times(d, j);
                    dq += (double) d[j] * q[j];
                }
                sums[b] = dq;
            });
            float alpha = (float) (rz / sum(sums, 0, blocks));
            workers.forEach(blocks, b -> {
                double next = 0;
                for (int j = b * BLOCK; j < Math.min(n, (b + 1) * BLOCK); j++) {
                    x[j] += alpha * d[j];
                    r[j] -= alpha * q[j];
                    next += (double) r[j] * r[j] / diagonal[j];
                }
                sums[b] = next;
            });
            double next = sum(sums, 0, blocks);
            float beta = (float) (next / rz);
            rz = next;
            workers.forEach(blocks, b -> {
                for (int j = b * BLOCK; j < Math.min(n, (b + 1) * BLOCK); j++) d[j] = r[j] / diagonal[j] + beta * d[j];
            });
        }
        return java.util.Arrays.copyOf(x, n);
    }

    private float times(float[] x, int j) {
        int k = 6 * j;
        return diagonal[j] * x[j]
                - weights[k] * x[neighbours[k]]
                - weights[k + 1] * x[neighbours[k + 1]]
                - weights[k + 2] * x[neighbours[k + 2]]
                - weights[k + 3] * x[neighbours[k + 3]]
                - weights[k + 4] * x[neighbours[k + 4]]
                - weights[k + 5] * x[neighbours[k + 5]];
    }

    private static double sum(double[] a, int from, int to) {
        double sum = 0;
        for (int i = from; i < to; i++) sum += a[i];
        return sum;
    }
}
