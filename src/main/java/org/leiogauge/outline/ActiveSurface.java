package org.leiogauge.outline;

import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/** */
final class ActiveSurface implements Refinement {
    record Settings(double windowMm, double drawnMm, double limit, double smoothMm, double stiffness, int rounds, int steps, double sure, double power, double contextMm) {
        static Settings standard() {
            return new Settings(9, 2.5, 3, 1.5, 4, 4, 4, 2, 2, 7);
        }
    }

    private static final double CONTEXT_MM = 10;
    private static final int BLOCK = 1 << 14;

    private final Settings settings;

    ActiveSurface(Settings settings) {
        this.settings = settings;
    }

    @Override
    public String title() {
        return "active surface";
    }

    @Override
    public float[] inside(Band band, Workers workers) {
        int n = band.open.length;
        float[] prior = new float[n];
        float[] p = new float[n];
        for (int j = 0; j < n; j++) {
            prior[j] = RandomWalk.prior(band.distance[band.open[j]], settings.drawnMm(), settings.sure());
            p[j] = RandomWalk.sigmoid(prior[j]);
        }
        for (int round = 0; round < settings.rounds(); round++) {
            float[] force = force(band, band.whole(p), workers);
            float limit = (float) settings.limit();
            for (int j = 0; j < n; j++) force[j] = prior[j] + Math.max(-limit, Math.min(limit, force[j]));
            for (int step = 0; step < settings.steps(); step++) p = move(band, p, force, workers);
        }
        return p;
    }

    private float[] move(Band band, float[] p, float[] force, Workers workers) {
        double s = settings.smoothMm();
        float[] smooth = GaussianSmoothing.smooth(
                        new Volume(band.grid, band.whole(p)), new GaussianSmoothing.Settings(s, s, s, 3), workers)
                .voxels();
        float[] moved = new float[p.length];
        workers.forEach((p.length + BLOCK - 1) / BLOCK, b -> {
            for (int j = b * BLOCK; j < Math.min(p.length, (b + 1) * BLOCK); j++)
                moved[j] = RandomWalk.sigmoid(force[j] + settings.stiffness() * (2 * smooth[band.open[j]] - 1));
        });
        return moved;
    }

    private float[] force(Band band, float[] inside, Workers workers) {
        int channels = band.channels.length;
        float[] force = new float[band.open.length];
        Size size = band.size();
        int side = 1 + channels;
        int squares = channels * (channels + 1) / 2;
        LocalShares sums = new LocalShares(band.grid, 2 * side + squares, settings.windowMm());
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++) {
                    double d = band.distance[i];
                    if (Math.abs(d) > settings.contextMm() || Double.isNaN(total(band, i))) continue;
                    int cell = sums.cell(x, y, z);
                    float w = (float) Math.pow(inside[i], settings.power());
                    float o = (float) Math.pow(1 - inside[i], settings.power());
                    sums.sums[0][cell] += w;
                    sums.sums[side][cell] += o;
                    int k = 2 * side;
                    for (int c = 0; c < channels; c++) {
                        float v = band.channels[c][i];
                        sums.sums[1 + c][cell] += w * v;
                        sums.sums[side + 1 + c][cell] += o * v;
                        for (int e = 0; e <= c; e++) sums.sums[k++][cell] += (w + o) * v * band.channels[e][i];
                    }
                }
        sums.smooth(workers);
        workers.forEach((force.length + BLOCK - 1) / BLOCK, b -> {
            float[] part = new float[3];
            double[] in = new double[channels];
            double[] out = new double[channels];
            double[][] s = new double[channels][channels + 1];
            for (int j = b * BLOCK; j < Math.min(force.length, (b + 1) * BLOCK); j++) {
                int at = band.open[j];
                if (Double.isNaN(total(band, at))) continue;
                int corner = sums.corner(at % size.x(), at / size.x() % size.y(), at / size.x() / size.y(), part);
                double w = Math.max(1e-4, sums.at(0, corner, part));
                double o = Math.max(1e-4, sums.at(side, corner, part));
                for (int c = 0; c < channels; c++) {
                    in[c] = sums.at(1 + c, corner, part) / w;
                    out[c] = sums.at(side + 1 + c, corner, part) / o;
                }
                int k = 2 * side;
                for (int c = 0; c < channels; c++) {
                    for (int e = 0; e <= c; e++) {
                        double v = (sums.at(k++, corner, part) - w * in[c] * in[e] - o * out[c] * out[e]) / (w + o);
                        s[c][e] = v;
                        s[e][c] = v;
                    }
                    s[c][c] = Math.max(0, s[c][c]) + FLOOR;
                    s[c][channels] = in[c] - out[c];
                }
                solve(s);
                double f = 0;
                for (int c = 0; c < channels; c++)
                    f += s[c][channels] * (band.channels[c][at] - 0.5 * (in[c] + out[c]));
                force[j] = (float) f;
            }
        });
        return force;
    }

    private static final double FLOOR = 0.002;

    private static double total(Band band, int i) {
        double sum = 0;
        for (float[] channel : band.channels) sum += channel[i];
        return sum;
    }

    // Gauss, the matrix being positive definite
    private static void solve(double[][] s) {
        int n = s.length;
        for (int c = 0; c < n; c++)
            for (int r = 0; r < n; r++) {
                if (r == c) continue;
                double f = s[r][c] / s[c][c];
                for (int k = c; k <= n; k++) s[r][k] -= f * s[c][k];
            }
        for (int c = 0; c < n; c++) s[c][n] /= s[c][c];
    }
}
