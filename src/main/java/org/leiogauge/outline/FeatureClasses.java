package org.leiogauge.outline;

import java.util.Arrays;
import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/** */
final class FeatureClasses {
    private static final int SAMPLES = 20_000;
    private static final int ROUNDS = 12;
    private static final double CONTEXT_MM = 10;
    private static final double SHRINK = 15;

    private final int count;
    private final int channels;
    private final float[][] centres;
    /** Per voxel, or -1 where a channel has no value. */
    private final byte[] of;
    private final float[][] likeness;

    private FeatureClasses(float[][] centres, byte[] of, float[][] likeness) {
        this.count = centres.length;
        this.channels = centres[0].length;
        this.centres = centres;
        this.of = of;
        this.likeness = likeness;
    }

    static FeatureClasses of(Band band, int count, Workers workers) {
        int channels = band.channels.length;
        float[][] samples = samples(band);
        float[][] centres = centres(samples, Math.min(count, samples.length));
        int k = centres.length;
        byte[] of = new byte[band.place.length];
        int block = 1 << 14;
        workers.forEach((of.length + block - 1) / block, b -> {
            float[] v = new float[channels];
            for (int i = b * block; i < Math.min(of.length, (b + 1) * block); i++) {
                boolean whole = true;
                for (int c = 0; c < channels; c++) whole &= !Float.isNaN(v[c] = band.channels[c][i]);
                of[i] = (byte) (whole && Math.abs(band.distance[i]) < 1e9 ? nearest(centres, v) : -1);
            }
        });
        // neighbouring classes share some of their counts
        float[][] likeness = new float[k][k];
        double typical = 0;
        for (int a = 0; a < k; a++) {
            double least = Double.MAX_VALUE;
            for (int b = 0; b < k; b++) if (a != b) least = Math.min(least, square(centres[a], centres[b]));
            typical += k > 1 ? least / k : 1;
        }
        for (int a = 0; a < k; a++) {
            double sum = 0;
            for (int b = 0; b < k; b++) sum += likeness[a][b] = (float) Math.exp(-square(centres[a], centres[b]) / Math.max(1e-9, typical));
            for (int b = 0; b < k; b++) likeness[a][b] /= (float) sum;
        }
        return new FeatureClasses(centres, of, likeness);
    }

    private static float[][] samples(Band band) {
        int n = 0;
        for (float d : band.distance) if (Math.abs(d) <= CONTEXT_MM) n++;
        int step = Math.max(1, n / SAMPLES);
        float[][] samples = new float[n / step + 1][];
        int m = 0;
        int seen = 0;
        for (int i = 0; i < band.distance.length; i++) {
            if (Math.abs(band.distance[i]) > CONTEXT_MM || seen++ % step != 0) continue;
            float[] v = new float[band.channels.length];
            boolean whole = true;
            for (int c = 0; c < v.length; c++) whole &= !Float.isNaN(v[c] = band.channels[c][i]);
            if (whole) samples[m++] = v;
        }
        return m == 0 ? new float[][] {new float[band.channels.length]} : Arrays.copyOf(samples, m);
    }

    // k-means, from places spread along the first axis' order of the sum of channels
    private static float[][] centres(float[][] samples, int k) {
        float[][] sorted = samples.clone();
        Arrays.sort(sorted, java.util.Comparator.comparingDouble(v -> v[0] + (v.length > 1 ? 0.37 * v[1] : 0)));
        float[][] centres = new float[k][];
        for (int j = 0; j < k; j++) centres[j] = sorted[(int) ((j + 0.5) * sorted.length / k)].clone();
        int channels = samples[0].length;
        for (int round = 0; round < ROUNDS; round++) {
            double[][] sum = new double[k][channels + 1];
            for (float[] v : samples) {
                double[] s = sum[nearest(centres, v)];
                for (int c = 0; c < channels; c++) s[c] += v[c];
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

    /** log of the class' local share inside over that outside. */
    float[] evidence(Band band, float[] inside, double windowMm, double power, double contextMm, double doubt, Workers workers) {
        LocalShares in = new LocalShares(band.grid, count + 1, windowMm);
        LocalShares out = new LocalShares(band.grid, count + 1, windowMm);
        Size size = band.size();
        int i = 0;
        double[][] total = new double[2][count + 1];
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) {
                    int k = of[i];
                    if (k < 0 || Math.abs(band.distance[i]) > contextMm) continue;
                    int cell = in.cell(x, y, z);
                    float w = (float) Math.pow(inside[i], power);
                    float o = (float) Math.pow(1 - inside[i], power);
                    in.sums[k][cell] += w;
                    in.sums[count][cell] += w;
                    out.sums[k][cell] += o;
                    out.sums[count][cell] += o;
                    total[0][k] += w;
                    total[0][count] += w;
                    total[1][k] += o;
                    total[1][count] += o;
                }
        in.smooth(workers);
        out.smooth(workers);
        mix(in);
        mix(out);
        float[] apart = apart(in, out);
        float[] evidence = new float[band.open.length];
        int block = 1 << 14;
        double[][] t = {mixed(total[0]), mixed(total[1])};
        // the Gaussian's sum over cells is 1: a sum of counts per cell is what one cell holds on average
        double volume = Math.pow(2 * Math.PI, 1.5) * Math.pow(windowMm, 3) / (8 * 8);
        workers.forEach((evidence.length + block - 1) / block, b -> {
            float[] part = new float[3];
            for (int j = b * block; j < Math.min(evidence.length, (b + 1) * block); j++) {
                int at = band.open[j];
                int k = of[at];
                if (k < 0) continue;
                int x = at % size.x();
                int y = at / size.x() % size.y();
                int z = at / size.x() / size.y();
                int corner = in.corner(x, y, z, part);
                double a = share(in, k, corner, part, t[0]);
                double c = share(out, k, corner, part, t[1]);
                float u = LocalShares.at(apart, in.cellsX(), in.cellsX() * in.cellsY(), corner, part);
                evidence[j] = (float) (Math.log(a / c) * u / (u + doubt));
            }
        });
        return evidence;
    }

    private float[] apart(LocalShares in, LocalShares out) {
        float[] apart = new float[in.cells()];
        for (int i = 0; i < apart.length; i++) {
            double n = Math.max(1e-9, in.sums[count][i]) * Math.max(1e-9, out.sums[count][i]);
            double sum = 0;
            for (int k = 0; k < count; k++) sum += Math.sqrt(Math.max(0, in.sums[k][i]) * Math.max(0, out.sums[k][i]));
            apart[i] = (float) Math.max(0, 1 - sum / Math.sqrt(n));
        }
        return apart;
    }

    private double share(LocalShares shares, int k, int corner, float[] part, double[] total) {
        double floor = 0.02 / count;
        double everywhere = total[k] / Math.max(1, total[count]) + floor;
        double few = 0.3;
        return (Math.max(0, shares.at(k, corner, part)) + few * everywhere) / (Math.max(0, shares.at(count, corner, part)) + few) + floor;
    }

    private void mix(LocalShares shares) {
        float[][] raw = new float[count][];
        for (int k = 0; k < count; k++) raw[k] = shares.sums[k];
        for (int k = 0; k < count; k++) {
            float[] mixed = new float[raw[k].length];
            for (int l = 0; l < count; l++) {
                float w = likeness[k][l];
                if (w < 1e-3) continue;
                for (int i = 0; i < mixed.length; i++) mixed[i] += w * raw[l][i];
            }
            shares.sums[k] = mixed;
        }
    }

    private double[] mixed(double[] total) {
        double[] m = total.clone();
        for (int k = 0; k < count; k++) {
            m[k] = 0;
            for (int l = 0; l < count; l++) m[k] += likeness[k][l] * total[l];
        }
        return m;
    }
}
