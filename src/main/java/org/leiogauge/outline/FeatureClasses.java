// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import java.util.Comparator;
import org.leiogauge.task.Workers;

/**
 * The joint feature space of a band cut into classes, and how common each class is near a place inside and outside.
 *
 * <p>Classes: k-means on up to 20 000 voxels, begun with centres spread evenly over the sorted first channels. Evidence of
 * a voxel of class k: log of k's share of the window inside over its share outside, counts being shared with similar
 * classes, weighted with p² inside and (1 - p)² outside so that voxels in doubt hardly count, and taken back where both
 * sides look alike: times u / (u + doubt), u = 1 - Σ √(shareᵢₙ shareₒᵤₜ).
 *
 * <p>Source: k-means: Lloyd 1982, doi:10.1109/TIT.1982.1056489; the distance of two distributions: Bhattacharyya 1943;
 * local shares as evidence: common practice, no source.
 */
final class FeatureClasses {
    private static final int SAMPLES = 20_000;
    private static final int ROUNDS = 10;
    private static final int BLOCK = 1 << 14;
    private static final byte NONE = -1;
    // In counts per cell: below it a window knows too little, and the whole band's shares take over.
    private static final double FEW = 0.3;
    // Share of a class that nobody has seen yet, over the number of classes.
    private static final double UNSEEN = 0.02;
    private static final double NEAR_MM = 2;

    private final Band band;
    private final int count;
    private final byte[] of;
    private final float[][] likeness;

    private FeatureClasses(Band band, float[][] centres, byte[] of) {
        this.band = band;
        this.count = centres.length;
        this.of = of;
        this.likeness = likeness(centres);
    }

    /**
     * What the classes say.
     *
     * @param logRatio per open voxel
     * @param separation mean of u over the open voxels near the drawn line
     */
    record Evidence(float[] logRatio, double separation) {}

    static FeatureClasses of(Band band, int count, double contextMm, Workers workers) {
        float[][] samples = samples(band, contextMm);
        float[][] centres = centres(samples, Math.min(count, samples.length), workers);
        byte[] of = new byte[band.place.length];
        Arrays.fill(of, NONE);
        workers.forEach((of.length + BLOCK - 1) / BLOCK, b -> {
            float[] v = new float[band.channels.length];
            for (int i = b * BLOCK; i < Math.min(of.length, (b + 1) * BLOCK); i++)
                if (Math.abs(band.distance[i]) <= contextMm && band.values(i, v)) of[i] = (byte) nearest(centres, v);
        });
        return new FeatureClasses(band, centres, of);
    }

    private static float[][] samples(Band band, double contextMm) {
        int n = 0;
        for (float d : band.distance) if (Math.abs(d) <= contextMm) n++;
        int step = Math.max(1, n / SAMPLES);
        float[][] samples = new float[n / step + 1][band.channels.length];
        int m = 0;
        int seen = 0;
        for (int i = 0; i < band.distance.length; i++)
            if (Math.abs(band.distance[i]) <= contextMm && seen++ % step == 0 && band.values(i, samples[m])) m++;
        return Arrays.copyOf(samples, Math.max(1, m));
    }

    private static float[][] centres(float[][] samples, int k, Workers workers) {
        float[][] sorted = samples.clone();
        Arrays.sort(sorted, Comparator.comparingDouble(v -> v[0] + (v.length > 1 ? 0.37 * v[1] : 0)));
        float[][] centres = new float[k][];
        for (int j = 0; j < k; j++) centres[j] = sorted[(int) ((j + 0.5) * sorted.length / k)].clone();
        int channels = samples[0].length;
        int[] nearest = new int[samples.length];
        for (int round = 0; round < ROUNDS; round++) {
            workers.forEach((samples.length + BLOCK / 4 - 1) / (BLOCK / 4), b -> {
                for (int i = b * BLOCK / 4; i < Math.min(samples.length, (b + 1) * BLOCK / 4); i++)
                    nearest[i] = nearest(centres, samples[i]);
            });
            double[][] sum = new double[k][channels + 1];
            for (int i = 0; i < samples.length; i++) {
                double[] s = sum[nearest[i]];
                for (int c = 0; c < channels; c++) s[c] += samples[i][c];
                s[channels]++;
            }
            for (int j = 0; j < k; j++)
                for (int c = 0; c < channels; c++)
                    if (sum[j][channels] > 0) centres[j][c] = (float) (sum[j][c] / sum[j][channels]);
        }
        return centres;
    }

    private static int nearest(float[][] centres, float[] v) {
        int best = 0;
        float least = Float.MAX_VALUE;
        for (int j = 0; j < centres.length; j++) {
            float d = square(centres[j], v);
            if (d < least) {
                least = d;
                best = j;
            }
        }
        return best;
    }

    private static float square(float[] a, float[] b) {
        float sum = 0;
        for (int c = 0; c < a.length; c++) sum += (a[c] - b[c]) * (a[c] - b[c]);
        return sum;
    }

    // exp(-d² / mean of the squared distances to the nearest other class), rows of sum 1
    private static float[][] likeness(float[][] centres) {
        int k = centres.length;
        double typical = 0;
        for (int a = 0; a < k; a++) {
            double least = k == 1 ? 1 : Double.MAX_VALUE;
            for (int b = 0; b < k; b++) if (a != b) least = Math.min(least, square(centres[a], centres[b]));
            typical += least / k;
        }
        float[][] likeness = new float[k][k];
        for (int a = 0; a < k; a++) {
            double sum = 0;
            for (int b = 0; b < k; b++)
                sum += likeness[a][b] = (float) Math.exp(-square(centres[a], centres[b]) / Math.max(1e-9, typical));
            for (int b = 0; b < k; b++) likeness[a][b] /= (float) sum;
        }
        return likeness;
    }

    Evidence evidence(float[] inside, double windowMm, double contextMm, double doubt, Workers workers) {
        Side in = new Side(windowMm, i -> inside[i] * inside[i], workers);
        Side out = new Side(windowMm, i -> (1 - inside[i]) * (1 - inside[i]), workers);
        float[] apart = apart(in, out);
        float[] evidence = new float[band.open.length];
        double[][] near = new double[(evidence.length + BLOCK - 1) / BLOCK][2];
        workers.forEach(near.length, b -> {
            float[] part = new float[3];
            for (int j = b * BLOCK; j < Math.min(evidence.length, (b + 1) * BLOCK); j++) {
                int at = band.open[j];
                if (of[at] == NONE) continue;
                int corner = in.shares.corner(at, part);
                double u = in.shares.at(apart, corner, part);
                double ratio = in.share(of[at], corner, part) / out.share(of[at], corner, part);
                evidence[j] = (float) (Math.log(ratio) * u / (u + doubt));
                if (Math.abs(band.distance[at]) > NEAR_MM) continue;
                near[b][0] += u;
                near[b][1]++;
            }
        });
        double sum = 0;
        double voxels = 0;
        for (double[] block : near) {
            sum += block[0];
            voxels += block[1];
        }
        return new Evidence(evidence, voxels == 0 ? 0 : sum / voxels);
    }

    private float[] apart(Side in, Side out) {
        float[] apart = new float[in.shares.cells()];
        for (int i = 0; i < apart.length; i++) {
            double all = Math.max(1e-9, in.shares.sums[count][i]) * Math.max(1e-9, out.shares.sums[count][i]);
            double sum = 0;
            for (int k = 0; k < count; k++)
                sum += Math.sqrt(Math.max(0, in.shares.sums[k][i]) * Math.max(0, out.shares.sums[k][i]));
            apart[i] = (float) Math.max(0, 1 - sum / Math.sqrt(all));
        }
        return apart;
    }

    /** How much a voxel counts for a side. */
    @FunctionalInterface
    private interface Weight {
        float of(int offset);
    }

    /** Counts of the classes on one side; the last quantity is the sum of all. */
    private final class Side {
        private final LocalShares shares;
        private final double[] everywhere = new double[count];

        Side(double windowMm, Weight weight, Workers workers) {
            shares = new LocalShares(band.grid, count + 1, windowMm);
            shares.gather(
                    (offset, cell) -> {
                        if (of[offset] == NONE) return;
                        float w = weight.of(offset);
                        shares.sums[of[offset]][cell] += w;
                        shares.sums[count][cell] += w;
                    },
                    workers);
            shares.smooth(workers);
            share(workers);
            double all = 0;
            for (float v : shares.sums[count]) all += v;
            for (int k = 0; k < count; k++) {
                for (float v : shares.sums[k]) everywhere[k] += v;
                everywhere[k] = everywhere[k] / Math.max(1e-9, all) + UNSEEN / count;
            }
        }

        // counts go to similar classes too
        private void share(Workers workers) {
            float[][] raw = Arrays.copyOf(shares.sums, count);
            workers.forEach(count, k -> {
                float[] mixed = new float[raw[k].length];
                for (int l = 0; l < count; l++) {
                    float w = likeness[l][k];
                    if (w > 1e-3) for (int i = 0; i < mixed.length; i++) mixed[i] += w * raw[l][i];
                }
                shares.sums[k] = mixed;
            });
        }

        double share(int k, int corner, float[] part) {
            double own = Math.max(0, shares.at(k, corner, part));
            double all = Math.max(0, shares.at(count, corner, part));
            return (own + FEW * everywhere[k]) / (all + FEW) + UNSEEN / count;
        }
    }
}
