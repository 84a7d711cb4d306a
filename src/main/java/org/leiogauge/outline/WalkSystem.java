// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.task.Workers;

/**
 * The linear system (L + γ) p = γ s + b of a random walk with priors: L the Laplacian of the open voxels with weights
 * over faces, b what the voxels that are settled pull.
 *
 * <p>Solved by conjugate gradients with the diagonal as preconditioner, sums taken in blocks of fixed size, to a residual
 * of 10⁻⁴ of the right side.
 *
 * <p>Source: Hestenes and Stiefel 1952, doi:10.6028/jres.049.044.
 */
final class WalkSystem {
    private static final int BLOCK = 1 << 14;
    private static final int MOST_STEPS = 300;
    private static final double RESIDUAL = 1e-4;
    // An edge hinders, it does not cut.
    private static final double LEAST_WEIGHT = 1e-4;

    private final int n;
    private final int blocks;
    private final int[] neighbours;
    private final float[] weights;
    private final float[] diagonal;
    private final float[] pull;
    private final float trust;

    private WalkSystem(int n, float trust) {
        this.n = n;
        this.trust = trust;
        blocks = (n + BLOCK - 1) / BLOCK;
        neighbours = new int[6 * n];
        weights = new float[6 * n];
        diagonal = new float[n];
        pull = new float[n];
        // one beyond the last: a voxel that is always 0
        Arrays.fill(neighbours, n);
        Arrays.fill(diagonal, trust);
    }

    static WalkSystem of(Band band, double beta, float trust, Workers workers) {
        WalkSystem system = new WalkSystem(band.open.length, trust);
        double scale = typicalStep(band);
        workers.forEach(system.blocks, b -> {
            for (int j = b * BLOCK; j < system.end(b); j++) system.link(band, j, beta / scale);
        });
        return system;
    }

    private int end(int block) {
        return Math.min(n, (block + 1) * BLOCK);
    }

    private void link(Band band, int j, double beta) {
        Size size = band.grid.size();
        Spacing s = band.grid.spacing();
        double least = Math.min(s.x(), Math.min(s.y(), s.z()));
        int i = band.open[j];
        link(band, j, 0, i % size.x(), size.x(), 1, least / s.x(), beta);
        link(band, j, 2, i / size.x() % size.y(), size.y(), size.x(), least / s.y(), beta);
        link(band, j, 4, i / size.x() / size.y(), size.z(), size.x() * size.y(), least / s.z(), beta);
    }

    private void link(Band band, int j, int slot, int at, int extent, int step, double near, double beta) {
        int i = band.open[j];
        if (at > 0) link(band, j, slot, i - step, near * near * weight(band, i, i - step, beta));
        if (at < extent - 1) link(band, j, slot + 1, i + step, near * near * weight(band, i, i + step, beta));
    }

    private void link(Band band, int j, int slot, int other, double weight) {
        diagonal[j] += (float) weight;
        if (band.place[other] >= 0) {
            neighbours[6 * j + slot] = band.place[other];
            weights[6 * j + slot] = (float) weight;
        } else if (band.place[other] == Band.INSIDE) pull[j] += (float) weight;
    }

    private static double weight(Band band, int i, int other, double beta) {
        return Math.exp(-beta * square(band, i, other)) + LEAST_WEIGHT;
    }

    // A channel without a value on either side sees no edge.
    private static double square(Band band, int i, int other) {
        double sum = 0;
        for (float[] channel : band.channels) {
            float d = channel[i] - channel[other];
            if (!Float.isNaN(d)) sum += (double) d * d;
        }
        return sum;
    }

    // Mean square of the steps between open neighbours along x.
    private static double typicalStep(Band band) {
        double sum = 0;
        int count = 0;
        for (int j = 0; j + 1 < band.open.length; j++) {
            if (band.open[j + 1] != band.open[j] + 1) continue;
            sum += square(band, band.open[j], band.open[j + 1]);
            count++;
        }
        return sum > 0 ? sum / count : 1;
    }

    /** One block of the work, which gives its part of a sum. */
    @FunctionalInterface
    private interface Part {
        double of(int from, int to);
    }

    private double sum(Part part, Workers workers) {
        double sum = 0;
        for (double one : workers.map(blocks, b -> part.of(b * BLOCK, end(b)))) sum += one;
        return sum;
    }

    /**
     * The probabilities.
     *
     * @param own s, per open voxel
     * @param start where to begin
     */
    float[] solve(float[] own, float[] start, Workers workers) {
        float[] x = Arrays.copyOf(start, n + 1);
        float[] r = new float[n];
        float[] d = new float[n + 1];
        float[] q = new float[n];
        double size = sum((from, to) -> residual(own, x, r, d, from, to), workers);
        double rz = sum((from, to) -> weighted(r, from, to), workers);
        for (int k = 0; k < MOST_STEPS && rz > RESIDUAL * RESIDUAL * size; k++) {
            double dq = sum((from, to) -> product(d, q, from, to), workers);
            float alpha = (float) (rz / dq);
            double next = sum((from, to) -> advance(x, r, d, q, alpha, from, to), workers);
            float beta = (float) (next / rz);
            rz = next;
            sum((from, to) -> turn(d, r, beta, from, to), workers);
        }
        return Arrays.copyOf(x, n);
    }

    private double residual(float[] own, float[] x, float[] r, float[] d, int from, int to) {
        double size = 0;
        for (int j = from; j < to; j++) {
            float right = trust * own[j] + pull[j];
            r[j] = right - row(x, j);
            d[j] = r[j] / diagonal[j];
            size += (double) right * right / diagonal[j];
        }
        return size;
    }

    private double weighted(float[] r, int from, int to) {
        double sum = 0;
        for (int j = from; j < to; j++) sum += (double) r[j] * r[j] / diagonal[j];
        return sum;
    }

    private double product(float[] d, float[] q, int from, int to) {
        double sum = 0;
        for (int j = from; j < to; j++) {
            q[j] = row(d, j);
            sum += (double) d[j] * q[j];
        }
        return sum;
    }

    private double advance(float[] x, float[] r, float[] d, float[] q, float alpha, int from, int to) {
        for (int j = from; j < to; j++) {
            x[j] += alpha * d[j];
            r[j] -= alpha * q[j];
        }
        return weighted(r, from, to);
    }

    private double turn(float[] d, float[] r, float beta, int from, int to) {
        for (int j = from; j < to; j++) d[j] = r[j] / diagonal[j] + beta * d[j];
        return 0;
    }

    private float row(float[] x, int j) {
        int k = 6 * j;
        return diagonal[j] * x[j]
                - weights[k] * x[neighbours[k]]
                - weights[k + 1] * x[neighbours[k + 1]]
                - weights[k + 2] * x[neighbours[k + 2]]
                - weights[k + 3] * x[neighbours[k + 3]]
                - weights[k + 4] * x[neighbours[k + 4]]
                - weights[k + 5] * x[neighbours[k + 5]];
    }
}
