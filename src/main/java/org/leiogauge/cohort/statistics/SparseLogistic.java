// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;

/**
 * Logistic regression whose L1 penalty leaves most coefficients at 0.
 *
 * <p>Minimises 1/n Σ [ln(1 + exp(η_i)) − y_i η_i] + λ Σ |β_j| with η = β₀ + Σ β_j z_j, z the features with mean 0 and
 * variance 1 over the training cases; β₀ is free. Coordinate descent inside re-weighted least squares; features at 0 are
 * looked at again once a step, by their gradient. A feature that does not vary keeps 0. Cost: a few times n · p per λ.
 *
 * <p>Source: Friedman, Hastie and Tibshirani 2010, Regularization paths for generalized linear models,
 * doi:10.18637/jss.v033.i01.
 */
public final class SparseLogistic {
    private static final int MOST_STEPS = 60;
    private static final int MOST_SWEEPS = 200;
    private static final double SETTLED = 1e-7;
    private static final double LEFT = 0.3;
    private static final double LEAST_WEIGHT = 1e-5;

    private final float[][] z;
    private final double[] mean;
    private final double[] deviation;
    private final boolean[] positive;
    private final int n;

    private final double[] beta;
    private double intercept;
    private final double[] eta;

    private SparseLogistic(double[][] columns, boolean[] positive) {
        n = positive.length;
        this.positive = positive;
        z = new float[columns.length][n];
        mean = new double[columns.length];
        deviation = new double[columns.length];
        for (int j = 0; j < columns.length; j++) standardise(columns[j], j);
        beta = new double[columns.length];
        double share = share(positive);
        intercept = Math.log(share / (1 - share));
        eta = new double[n];
        Arrays.fill(eta, intercept);
    }

    private void standardise(double[] column, int j) {
        for (double x : column) mean[j] += x / n;
        for (double x : column) deviation[j] += (x - mean[j]) * (x - mean[j]) / n;
        deviation[j] = Math.sqrt(deviation[j]);
        // Rounding alone makes a constant column vary a little.
        if (!(deviation[j] > 1e-12 * Math.abs(mean[j]))) deviation[j] = 0;
        if (deviation[j] > 0) for (int i = 0; i < n; i++) z[j][i] = (float) ((column[i] - mean[j]) / deviation[j]);
    }

    private static double share(boolean[] positive) {
        int count = 0;
        for (boolean p : positive) if (p) count++;
        if (count == 0 || count == positive.length)
            throw new IllegalArgumentException(
                    "positive must hold both kinds, got " + count + " positive of " + positive.length);
        return count / (double) positive.length;
    }

    /**
     * A fitted model.
     *
     * @param coefficients per feature, in 1 over its unit
     */
    public record Model(double lambda, double intercept, List<Double> coefficients) {
        public Model {
            coefficients = List.copyOf(coefficients);
        }

        /** The probability of a positive, from one value per feature. */
        public double probability(double[] features) {
            double sum = intercept;
            for (int j = 0; j < features.length; j++) {
                double b = coefficients.get(j);
                if (b != 0) sum += b * features[j];
            }
            return sigmoid(sum);
        }

        /** How many features count. */
        public int size() {
            return (int) coefficients.stream().filter(b -> b != 0).count();
        }
    }

    /**
     * Models along falling penalties, each started from the one before.
     *
     * @param columns one array per feature, over the cases
     */
    public static List<Model> path(double[][] columns, boolean[] positive, double[] lambdas) {
        SparseLogistic fit = on(columns, positive);
        return Arrays.stream(lambdas).mapToObj(fit::next).toList();
    }

    /**
     * Where a path begins, to be walked by {@link #next}.
     *
     * @param columns one array per feature, over the cases
     */
    static SparseLogistic on(double[][] columns, boolean[] positive) {
        return new SparseLogistic(columns, positive);
    }

    /** The model of the next penalty of a path, started from the last one's. */
    Model next(double lambda) {
        if (!(lambda >= 0)) throw new IllegalArgumentException("lambdas must be 0 or more, got " + lambda);
        solve(lambda);
        return model(lambda);
    }

    /** Penalties from the one that leaves no feature down to a share of it, evenly in the logarithm. */
    public static double[] lambdas(double[][] columns, boolean[] positive, int count, double leastShare) {
        SparseLogistic start = new SparseLogistic(columns, positive);
        double most = 0;
        double[] residual = start.residual();
        for (float[] column : start.z) most = Math.max(most, Math.abs(dot(column, residual)) / start.n);
        double[] lambdas = new double[count];
        for (int i = 0; i < count; i++) lambdas[i] = most * Math.pow(leastShare, i / (count - 1.0));
        return lambdas;
    }

    private double[] residual() {
        double[] residual = new double[n];
        for (int i = 0; i < n; i++) residual[i] = (positive[i] ? 1 : 0) - sigmoid(eta[i]);
        return residual;
    }

    private void solve(double lambda) {
        boolean[] active = new boolean[beta.length];
        for (int j = 0; j < beta.length; j++) active[j] = beta[j] != 0;
        // A look at every feature is dear: first those that count settle, then the others are asked.
        activate(active, lambda);
        for (int round = 0; round < MOST_STEPS; round++) {
            for (int step = 0; step < MOST_STEPS; step++) if (reweightedStep(active, lambda) < SETTLED) break;
            if (!activate(active, lambda)) return;
        }
    }

    // A feature at 0 stays there as long as its gradient is within the penalty.
    private boolean activate(boolean[] active, double lambda) {
        double[] residual = residual();
        boolean grown = false;
        for (int j = 0; j < beta.length; j++)
            if (!active[j] && deviation[j] > 0 && Math.abs(dot(z[j], residual)) / n > lambda * (1 + 1e-9)) {
                active[j] = true;
                grown = true;
            }
        return grown;
    }

    private double reweightedStep(boolean[] active, double lambda) {
        double[] weight = new double[n];
        double[] off = new double[n];
        double total = 0;
        for (int i = 0; i < n; i++) {
            double p = sigmoid(eta[i]);
            weight[i] = Math.max(LEAST_WEIGHT, p * (1 - p));
            // weight times (working response less linear predictor)
            off[i] = (positive[i] ? 1 : 0) - p;
            total += weight[i];
        }
        double[] curvature = new double[beta.length];
        for (int j = 0; j < beta.length; j++) if (active[j]) curvature[j] = curvature(z[j], weight);
        double interceptBefore = intercept;
        double[] before = beta.clone();
        double largest = 0;
        for (int sweep = 0; sweep < MOST_SWEEPS; sweep++) {
            double moved = moveIntercept(weight, off, total);
            for (int j = 0; j < beta.length; j++)
                if (active[j]) moved = Math.max(moved, moveFeature(j, curvature[j], lambda, weight, off));
            largest = Math.max(largest, moved);
            // The next step has other weights: what this one leaves need be small against what it changed.
            if (moved < Math.max(SETTLED, LEFT * largest)) break;
        }
        predict(intercept - interceptBefore, before);
        return largest;
    }

    // Within a step the weighted residuals alone are asked for: the predictor follows once, at its end.
    private void predict(double ofIntercept, double[] before) {
        for (int i = 0; i < n; i++) eta[i] += ofIntercept;
        for (int j = 0; j < beta.length; j++) {
            double change = beta[j] - before[j];
            if (change == 0) continue;
            float[] column = z[j];
            for (int i = 0; i < n; i++) eta[i] += change * column[i];
        }
    }

    private double moveIntercept(double[] weight, double[] off, double total) {
        double sum = 0;
        for (double o : off) sum += o;
        double change = sum / total;
        intercept += change;
        for (int i = 0; i < n; i++) off[i] -= weight[i] * change;
        return Math.abs(change);
    }

    private double moveFeature(int j, double curvature, double lambda, double[] weight, double[] off) {
        float[] column = z[j];
        double pull = dot(column, off) / n + curvature * beta[j];
        double next = Math.abs(pull) <= lambda ? 0 : (pull - Math.signum(pull) * lambda) / curvature;
        double change = next - beta[j];
        if (change == 0) return 0;
        beta[j] = next;
        for (int i = 0; i < n; i++) off[i] -= weight[i] * (change * column[i]);
        return Math.abs(change);
    }

    private double curvature(float[] column, double[] weight) {
        double sum = 0;
        for (int i = 0; i < n; i++) sum += weight[i] * column[i] * column[i];
        return sum / n;
    }

    private Model model(double lambda) {
        List<Double> coefficients = new ArrayList<>();
        double constant = intercept;
        for (int j = 0; j < beta.length; j++) {
            double b = beta[j] == 0 ? 0 : beta[j] / deviation[j];
            coefficients.add(b);
            constant -= b * mean[j];
        }
        return new Model(lambda, constant, coefficients);
    }

    // Four sums side by side: one alone waits for each of its additions.
    private static double dot(float[] a, double[] b) {
        double first = 0;
        double second = 0;
        double third = 0;
        double fourth = 0;
        int i = 0;
        for (; i + 3 < a.length; i += 4) {
            first += a[i] * b[i];
            second += a[i + 1] * b[i + 1];
            third += a[i + 2] * b[i + 2];
            fourth += a[i + 3] * b[i + 3];
        }
        for (; i < a.length; i++) first += a[i] * b[i];
        return first + second + (third + fourth);
    }

    static double sigmoid(double x) {
        return x >= 0 ? 1 / (1 + Math.exp(-x)) : 1 - 1 / (1 + Math.exp(x));
    }
}
