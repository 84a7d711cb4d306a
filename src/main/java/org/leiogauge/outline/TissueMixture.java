// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Values of several channels as a mixture of normal distributions with diagonal covariance, fitted by expectation and
 * maximisation; as many classes as the Bayesian information criterion prefers.
 *
 * <p>BIC = -2 log L · w + (k (2 c + 1) - 1) log(n w), n samples of c channels, w the share of samples that count as
 * independent, since neighbouring voxels repeat each other. Begun from samples spread evenly along the first principal
 * direction of the standardised values, and from the mixture of one class less with a new one where it explains least; the
 * likelier of both counts. Cost: samples × classes × channels per round.
 *
 * <p>Source: Dempster, Laird and Rubin 1977; Schwarz 1978, doi:10.1214/aos/1176344136.
 */
final class TissueMixture {
    private static final int MOST_ROUNDS = 60;
    private static final double CHANGE = 1e-5;
    // Of a channel's variance: keeps a class from shrinking onto one value.
    private static final double LEAST_VARIANCE = 1e-3;
    private static final int BLOCK = 1 << 12;
    private static final int MOST_SAMPLES = 20_000;
    private static final double[] NEW_AT = {0.005, 0.03, 0.1};

    final double[] weights;
    final double[][] means;
    final double[][] variances;
    private double logLikelihood;

    private TissueMixture(int classes, int channels) {
        weights = new double[classes];
        means = new double[classes][channels];
        variances = new double[classes][channels];
    }

    int classes() {
        return weights.length;
    }

    /** The preferred mixture of one to {@code most} classes. */
    static TissueMixture fit(float[][] all, int most, double independent, Workers workers, Progress progress) {
        float[][] samples = thinned(all);
        double[] spread = spread(samples);
        float[][] sorted = alongMainDirection(samples, spread);
        TissueMixture best = null;
        TissueMixture last = null;
        double least = Double.POSITIVE_INFINITY;
        for (int k = 1; k <= most && k <= samples.length; k++) {
            progress.at((k - 1.0) / most);
            TissueMixture mixture = climbed(spreadOut(sorted, spread, k), samples, spread, workers);
            if (last != null) mixture = likelier(mixture, grown(last, samples, spread, workers));
            last = mixture;
            double bic = mixture.bic(all.length, samples.length, independent);
            if (bic >= least) continue;
            least = bic;
            best = mixture;
        }
        return best;
    }

    // The likelihood is that of the samples taken, for all of them.
    private double bic(int all, int samples, double independent) {
        double likelihood = logLikelihood * all / samples;
        int free = classes() * (2 * means[0].length + 1) - 1;
        return -2 * likelihood * independent + free * Math.log(Math.max(2, all * independent));
    }

    private static float[][] thinned(float[][] all) {
        int step = Math.max(1, all.length / MOST_SAMPLES);
        float[][] some = new float[(all.length + step - 1) / step][];
        for (int i = 0; i < some.length; i++) some[i] = all[i * step];
        return some;
    }

    private static TissueMixture likelier(TissueMixture a, TissueMixture b) {
        return b.logLikelihood > a.logLikelihood ? b : a;
    }

    private static TissueMixture spreadOut(float[][] sorted, double[] spread, int k) {
        TissueMixture m = new TissueMixture(k, spread.length);
        for (int j = 0; j < k; j++) {
            m.weights[j] = 1.0 / k;
            int from = j * sorted.length / k;
            int to = Math.max(from + 1, (j + 1) * sorted.length / k);
            for (int c = 0; c < spread.length; c++) {
                double sum = 0;
                for (int i = from; i < to; i++) sum += sorted[i][c];
                m.means[j][c] = sum / (to - from);
                m.variances[j][c] = spread[c] * spread[c] / (k * k);
            }
        }
        return m;
    }

    // A new class at samples that the mixture explains badly, from the worst up to those of middling density.
    private static TissueMixture grown(TissueMixture less, float[][] samples, double[] spread, Workers workers) {
        double[] p = new double[less.classes()];
        double[] density = new double[samples.length];
        for (int i = 0; i < samples.length; i++) density[i] = less.responsibilities(samples[i], p);
        Integer[] order = new Integer[samples.length];
        for (int i = 0; i < order.length; i++) order[i] = i;
        Arrays.sort(order, Comparator.comparingDouble(i -> density[i]));
        TissueMixture best = null;
        for (double share : NEW_AT) {
            float[] at = samples[order[(int) (share * (samples.length - 1))]];
            TissueMixture m = climbed(less.with(at, spread), samples, spread, workers);
            best = best == null ? m : likelier(best, m);
        }
        return best;
    }

    private TissueMixture with(float[] at, double[] spread) {
        int k = classes();
        TissueMixture m = new TissueMixture(k + 1, spread.length);
        for (int j = 0; j < k; j++) {
            m.weights[j] = weights[j] * k / (k + 1.0);
            m.means[j] = means[j].clone();
            m.variances[j] = variances[j].clone();
        }
        m.weights[k] = 1 / (k + 1.0);
        for (int c = 0; c < spread.length; c++) {
            m.means[k][c] = at[c];
            m.variances[k][c] = spread[c] * spread[c] / 16;
        }
        return m;
    }

    private static TissueMixture climbed(TissueMixture m, float[][] samples, double[] spread, Workers workers) {
        double before = Double.NEGATIVE_INFINITY;
        for (int round = 0; round < MOST_ROUNDS; round++) {
            m.step(samples, spread, workers);
            if (m.logLikelihood - before < CHANGE * Math.abs(m.logLikelihood)) break;
            before = m.logLikelihood;
        }
        return m;
    }

    // Sums per class: weight, then of each channel value and square; last of all the log likelihood.
    private void step(float[][] samples, double[] spread, Workers workers) {
        int k = classes();
        int channels = spread.length;
        int width = 1 + 2 * channels;
        List<double[]> parts = workers.map((samples.length + BLOCK - 1) / BLOCK, b -> {
            double[] sums = new double[k * width + 1];
            double[] p = new double[k];
            for (int i = b * BLOCK; i < Math.min(samples.length, (b + 1) * BLOCK); i++) {
                sums[k * width] += responsibilities(samples[i], p);
                for (int j = 0; j < k; j++) {
                    sums[j * width] += p[j];
                    for (int c = 0; c < channels; c++) {
                        double v = samples[i][c];
                        sums[j * width + 1 + c] += p[j] * v;
                        sums[j * width + 1 + channels + c] += p[j] * v * v;
                    }
                }
            }
            return sums;
        });
        double[] all = new double[k * width + 1];
        for (double[] part : parts) for (int i = 0; i < all.length; i++) all[i] += part[i];
        logLikelihood = all[k * width];
        for (int j = 0; j < k; j++) {
            double n = all[j * width];
            weights[j] = n / samples.length;
            if (n < 1e-9) continue;
            for (int c = 0; c < channels; c++) {
                double mean = all[j * width + 1 + c] / n;
                means[j][c] = mean;
                variances[j][c] = Math.max(
                        all[j * width + 1 + channels + c] / n - mean * mean, LEAST_VARIANCE * spread[c] * spread[c]);
            }
        }
    }

    /** Writes each class' probability for a sample; returns the log of its density. */
    double responsibilities(float[] v, double[] p) {
        double most = Double.NEGATIVE_INFINITY;
        for (int j = 0; j < p.length; j++) {
            p[j] = logDensity(j, v);
            most = Math.max(most, p[j]);
        }
        double sum = 0;
        for (int j = 0; j < p.length; j++) sum += p[j] = Math.exp(p[j] - most);
        for (int j = 0; j < p.length; j++) p[j] /= sum;
        return most + Math.log(sum);
    }

    /** Log of a class' weight times its density. */
    double logDensity(int j, float[] v) {
        double sum = Math.log(Math.max(1e-300, weights[j]));
        for (int c = 0; c < v.length; c++) {
            double d = v[c] - means[j][c];
            sum -= 0.5 * (d * d / variances[j][c] + Math.log(2 * Math.PI * variances[j][c]));
        }
        return sum;
    }

    private static double[] spread(float[][] samples) {
        int channels = samples[0].length;
        double[] spread = new double[channels];
        for (int c = 0; c < channels; c++) {
            double sum = 0;
            double squares = 0;
            for (float[] v : samples) {
                sum += v[c];
                squares += (double) v[c] * v[c];
            }
            double mean = sum / samples.length;
            spread[c] = Math.sqrt(Math.max(1e-12, squares / samples.length - mean * mean));
        }
        return spread;
    }

    // By power iteration on the correlations, begun at the diagonal.
    private static float[][] alongMainDirection(float[][] samples, double[] spread) {
        int channels = spread.length;
        double[] mean = new double[channels];
        for (float[] v : samples) for (int c = 0; c < channels; c++) mean[c] += v[c] / (double) samples.length;
        double[] direction = new double[channels];
        for (int c = 0; c < channels; c++) direction[c] = 1 + 0.1 * c;
        for (int round = 0; round < 30; round++) {
            double[] next = new double[channels];
            for (float[] v : samples) {
                double along = along(v, mean, spread, direction);
                for (int c = 0; c < channels; c++) next[c] += along * (v[c] - mean[c]) / spread[c];
            }
            double length = Math.sqrt(Arrays.stream(next).map(x -> x * x).sum());
            if (length == 0) break;
            for (int c = 0; c < channels; c++) direction[c] = next[c] / length;
        }
        float[][] sorted = samples.clone();
        Arrays.sort(sorted, Comparator.comparingDouble(v -> along(v, mean, spread, direction)));
        return sorted;
    }

    private static double along(float[] v, double[] mean, double[] spread, double[] direction) {
        double sum = 0;
        for (int c = 0; c < v.length; c++) sum += direction[c] * (v[c] - mean[c]) / spread[c];
        return sum;
    }
}
