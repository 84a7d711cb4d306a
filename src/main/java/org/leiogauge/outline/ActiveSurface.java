// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The border as a smooth surface between two local means: it moves to where the voxel is as far from both, as seen by
 * the common spread of both sides, and its curvature holds it taut.
 *
 * <p>Force on a voxel of values v: (μᵢₙ - μₒᵤₜ)ᵀ S⁻¹ (v - (μᵢₙ + μₒᵤₜ) / 2), all local, S the pooled covariance of both sides.
 * Threshold dynamics, softened: p ← 1 / (1 + exp(-(prior + force + κ (2 (2 G - G * G) * p - 1)))), G a Gaussian. With G
 * alone the surface would move by its mean curvature, and every bulge shrink; 2 G - G * G has no second moment, so that what
 * is bent evenly stays and only what is finer than G is drawn flat. Means are renewed in turns with the movement. Where both means are the same there is no
 * force.
 *
 * <p>Source: local means: Lankton and Tannenbaum 2008, doi:10.1109/TIP.2008.2004611; movement: Esedoḡlu and Tsai 2006,
 * Threshold dynamics for the piecewise constant Mumford–Shah functional, doi:10.1016/j.jcp.2005.05.027.
 */
record ActiveSurface(Settings settings) implements Refinement {
    private static final int BLOCK = 1 << 14;
    // Of the squared spread of the channel in the neighbourhood: noise-free synthetic images have no spread inside.
    private static final double LEAST_VARIANCE = 0.002;
    private static final double LEAST_WEIGHT = 1e-4;
    // Squared distance of the means, in variances, that counts as a separation of one half: so that the limit below
    // which
    // refinement made synthetic lesions worse is the same number as the random walk's.
    private static final double HALF_APART = 4.5;
    // The squared distance at which this method has as much weight as the random walk; tried on the synthetic studies.
    private static final double AS_GOOD_AS_A_WALK = 30;

    /**
     * @param windowMm standard deviation of the window that is called local
     * @param contextMm how far from the drawn line voxels still tell of their side
     * @param drawnMm standard deviation of the drawn line
     * @param sure largest log odds that the drawn line gives
     * @param limit largest log odds that the images give
     * @param smoothMm standard deviation of G
     * @param stiffness κ
     * @param rounds how often means are renewed
     * @param steps movements between
     */
    record Settings(
            double windowMm,
            double contextMm,
            double drawnMm,
            double sure,
            double limit,
            double smoothMm,
            double stiffness,
            int rounds,
            int steps) {
        static Settings standard() {
            return new Settings(9, 5.5, 2.5, 2, 4, 2.2, 8, 4, 4);
        }
    }

    @Override
    public String title() {
        return "active surface";
    }

    @Override
    public Found inside(Band band, Workers workers, Progress progress) {
        float[] prior = Refinement.prior(band, settings.drawnMm(), settings.sure());
        float[] p = Refinement.sigmoids(prior);
        double apart = 0;
        for (int round = 0; round < settings.rounds(); round++) {
            progress.at((double) round / settings.rounds());
            float[] force = new float[p.length];
            apart = new LocalMeans(band, band.whole(p), workers).force(force, workers);
            for (int j = 0; j < force.length; j++)
                force[j] = prior[j] + Refinement.within((float) settings.limit(), force[j]);
            // from the voxels' own word, or a flat end of the drawing would hold itself
            p = Refinement.sigmoids(force);
            for (int step = 0; step < settings.steps(); step++) p = move(band, p, force, workers);
        }
        return new Found(p, apart / (apart + HALF_APART), apart / AS_GOOD_AS_A_WALK);
    }

    private float[] move(Band band, float[] p, float[] force, Workers workers) {
        double s = settings.smoothMm();
        GaussianSmoothing.Settings g = new GaussianSmoothing.Settings(s, s, s, 2.5);
        float[] smooth = GaussianSmoothing.smoothKeepingBends(new Volume(band.grid, band.whole(p)), g, 2, workers)
                .voxels();
        float[] moved = new float[p.length];
        workers.forEach((p.length + BLOCK - 1) / BLOCK, b -> {
            for (int j = b * BLOCK; j < Math.min(p.length, (b + 1) * BLOCK); j++)
                moved[j] = Refinement.sigmoid(force[j] + settings.stiffness() * (2 * smooth[band.open[j]] - 1));
        });
        return moved;
    }

    /** Weights, means and products of the channels near each place: first inside, then outside, then both together. */
    private final class LocalMeans {
        private final Band band;
        private final int channels;
        private final int out;
        private final int both;
        private final LocalShares sums;

        LocalMeans(Band band, float[] inside, Workers workers) {
            this.band = band;
            channels = band.channels.length;
            out = 1 + channels;
            both = 2 * out;
            sums = new LocalShares(band.grid, both + channels * (channels + 1) / 2, settings.windowMm());
            sums.gather(
                    (offset, cell) -> {
                        if (Math.abs(band.distance[offset]) <= settings.contextMm() && band.isSeen(offset))
                            add(offset, cell, inside[offset] * inside[offset], square(1 - inside[offset]));
                    },
                    workers);
            sums.smooth(workers);
        }

        private void add(int offset, int cell, float in, float outside) {
            sums.sums[0][cell] += in;
            sums.sums[out][cell] += outside;
            int k = both;
            for (int c = 0; c < channels; c++) {
                float v = band.channels[c][offset];
                sums.sums[1 + c][cell] += in * v;
                sums.sums[out + 1 + c][cell] += outside * v;
                for (int e = 0; e <= c; e++) sums.sums[k++][cell] += (in + outside) * v * band.channels[e][offset];
            }
        }

        /** Writes the force on each open voxel; returns the mean of the squared distance of both means. */
        double force(float[] force, Workers workers) {
            int blocks = (force.length + BLOCK - 1) / BLOCK;
            double[] apart = new double[blocks];
            workers.forEach(blocks, b -> {
                Discriminant here = new Discriminant(channels);
                for (int j = b * BLOCK; j < Math.min(force.length, (b + 1) * BLOCK); j++) {
                    int at = band.open[j];
                    if (!band.isSeen(at)) continue;
                    look(here, at);
                    force[j] = (float) here.force(band, at);
                    apart[b] += here.apart();
                }
            });
            double sum = 0;
            for (double a : apart) sum += a;
            return force.length == 0 ? 0 : sum / force.length;
        }

        private void look(Discriminant here, int at) {
            int corner = sums.corner(at, here.part);
            double w = Math.max(LEAST_WEIGHT, sums.at(0, corner, here.part));
            double o = Math.max(LEAST_WEIGHT, sums.at(out, corner, here.part));
            for (int c = 0; c < channels; c++) {
                here.in[c] = sums.at(1 + c, corner, here.part) / w;
                here.out[c] = sums.at(out + 1 + c, corner, here.part) / o;
            }
            int k = both;
            for (int c = 0; c < channels; c++)
                for (int e = 0; e <= c; e++) {
                    double product = sums.at(k++, corner, here.part);
                    double v = (product - w * here.in[c] * here.in[e] - o * here.out[c] * here.out[e]) / (w + o);
                    here.s[c][e] = v;
                    here.s[e][c] = v;
                }
            here.solve();
        }

        private float square(float v) {
            return v * v;
        }
    }

    /** S⁻¹ (μᵢₙ - μₒᵤₜ) at one place. */
    private static final class Discriminant {
        private final float[] part = new float[3];
        private final double[] in;
        private final double[] out;
        private final double[][] s;

        Discriminant(int channels) {
            in = new double[channels];
            out = new double[channels];
            s = new double[channels][channels + 1];
        }

        // Gauss and Jordan: the matrix is positive definite once its diagonal is raised
        void solve() {
            int n = in.length;
            for (int c = 0; c < n; c++) {
                s[c][c] = Math.max(0, s[c][c]) + LEAST_VARIANCE;
                s[c][n] = in[c] - out[c];
            }
            for (int c = 0; c < n; c++)
                for (int r = 0; r < n; r++) {
                    if (r == c) continue;
                    double f = s[r][c] / s[c][c];
                    for (int k = c; k <= n; k++) s[r][k] -= f * s[c][k];
                }
            for (int c = 0; c < n; c++) s[c][n] /= s[c][c];
        }

        double force(Band band, int at) {
            double f = 0;
            for (int c = 0; c < in.length; c++) f += s[c][in.length] * (band.channels[c][at] - 0.5 * (in[c] + out[c]));
            return f;
        }

        double apart() {
            double d = 0;
            for (int c = 0; c < in.length; c++) d += s[c][in.length] * (in[c] - out[c]);
            return d;
        }
    }
}
