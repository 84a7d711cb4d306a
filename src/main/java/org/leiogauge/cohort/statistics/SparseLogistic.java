// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.function.IntPredicate;
import java.util.stream.IntStream;

/**
 * Logistic regression whose L1 penalty leaves most coefficients at 0.
 *
 * <p>Minimises 1/n Σ [ln(1 + exp(η_i)) − y_i η_i] + λ Σ |β_j| with η = β₀ + Σ β_j z_j, z the features with mean 0 and
 * variance 1 over the training cases; β₀ is free. Each step minimises a quadratic model of the loss plus the penalty by
 * coordinate descent with covariance updates, over the features that take part, and is halved while it does not lessen the
 * whole. The model's curvature is that of the case weights p (1 − p), made anew when these have changed by more than a
 * tenth: that bears on the number of steps, not on where they end. Which features are asked first whether they take part is
 * told by the sequential strong rule; before a model is given out, all are. It ends where the gradient meets the conditions
 * of the minimum within {@value #SETTLED}, or after {@value #MOST_STEPS} steps: features that are nearly copies of each
 * other may need more. A feature that does not vary keeps 0. Cost: a few times n · p per λ, and n · m² / 2 per new curvature
 * for the m features that take part.
 *
 * <p>Source: Friedman, Hastie and Tibshirani 2010, Regularization paths for generalized linear models,
 * doi:10.18637/jss.v033.i01; steps: Lee, Sun and Saunders 2014, Proximal Newton-type methods, doi:10.1137/130921428; strong
 * rule: Tibshirani et al. 2012, doi:10.1111/j.1467-9868.2011.01004.x.
 */
public final class SparseLogistic {
    private static final int MOST_STEPS = 60;
    private static final int MOST_SWEEPS = 200;
    // By how much the gradient may miss the conditions of a minimum, in the unit of λ.
    private static final double SETTLED = 1e-8;
    // The share of a miss that one step may leave; from how much of the weights' sum on the curvature is made anew.
    private static final double LEFT = 0.03;
    private static final double CHANGED = 0.1;
    private static final double LEAST_WEIGHT = 1e-5;
    // Armijo's share of the promised decrease, and what rounding may hide of it.
    private static final double ENOUGH = 1e-4;
    private static final double ROUNDING = 1e-13;
    private static final double LEAST_SHARE = 1e-6;

    private final float[][] z;
    private final double[] mean;
    private final double[] deviation;
    private final boolean[] positive;
    private final int n;
    private final int constant;

    private final double[] beta;
    private final double[] eta;
    private final double[] probability;
    private double loss;
    private WeightedGram gram;
    // 1/n Σ z_j (y − p) when last looked at, and the penalty then.
    private final double[] pull;
    private double last;

    private SparseLogistic(double[][] columns, boolean[] positive) {
        n = positive.length;
        this.positive = positive;
        constant = columns.length;
        z = new float[columns.length + 1][n];
        mean = new double[columns.length];
        deviation = new double[columns.length];
        for (int j = 0; j < columns.length; j++) standardise(columns[j], j);
        // The intercept goes with a column of ones, without penalty.
        Arrays.fill(z[constant], 1);
        beta = new double[columns.length + 1];
        double share = share(positive);
        beta[constant] = Math.log(share / (1 - share));
        eta = new double[n];
        Arrays.fill(eta, beta[constant]);
        probability = new double[n];
        loss = predict();
        pull = new double[columns.length + 1];
        look(varying(j -> true));
        for (double one : pull) last = Math.max(last, Math.abs(one));
        gram = new WeightedGram(z, weight());
        gram.join(new int[] {constant});
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
            double[][] columns = new double[features.length][];
            for (int j = 0; j < columns.length; j++) columns[j] = new double[] {features[j]};
            return probabilities(columns)[0];
        }

        /**
         * The probability of a positive, per case.
         *
         * @param columns one array per feature, over the cases
         */
        double[] probabilities(double[][] columns) {
            double[] sum = new double[columns[0].length];
            Arrays.fill(sum, intercept);
            for (int j = 0; j < columns.length; j++) {
                double b = coefficients.get(j);
                if (b != 0) for (int i = 0; i < sum.length; i++) sum[i] += b * columns[j][i];
            }
            for (int i = 0; i < sum.length; i++) sum[i] = sigmoid(sum[i]);
            return sum;
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
        return on(columns, positive).lambdas(count, leastShare);
    }

    /** As the other, of a path that has not begun. */
    double[] lambdas(int count, double leastShare) {
        double[] lambdas = new double[count];
        for (int i = 0; i < count; i++) lambdas[i] = last * Math.pow(leastShare, i / (count - 1.0));
        return lambdas;
    }

    // The probabilities at the predictor as it stands; gives the mean loss.
    private double predict() {
        double sum = 0;
        for (int i = 0; i < n; i++) {
            double x = eta[i];
            double e = Math.exp(-Math.abs(x));
            probability[i] = (x >= 0 ? 1 : e) / (1 + e);
            sum += Math.log(1 + e) + Math.max(0, positive[i] ? -x : x);
        }
        return sum / n;
    }

    private double[] weight() {
        double[] weight = new double[n];
        for (int i = 0; i < n; i++) weight[i] = Math.max(LEAST_WEIGHT, probability[i] * (1 - probability[i]));
        return weight;
    }

    private void look(int[] features) {
        double[] residual = new double[n];
        for (int i = 0; i < n; i++) residual[i] = (positive[i] ? 1 : 0) - probability[i];
        for (int j : features) pull[j] = dot(z[j], residual) / n;
    }

    private int[] varying(IntPredicate wanted) {
        return IntStream.range(0, constant)
                .filter(j -> deviation[j] > 0 && wanted.test(j))
                .toArray();
    }

    private void solve(double lambda) {
        double strong = 2 * lambda - last;
        int[] likely = varying(j -> Math.abs(pull[j]) >= strong);
        int[] all = varying(j -> true);
        last = lambda;
        join(all, lambda);
        for (int round = 0; round < MOST_STEPS; round++) {
            for (int step = 0; step < MOST_STEPS && missed(lambda) > SETTLED; step++) {
                step(lambda);
                look(gram.members());
            }
            // A look at every feature is dear: first those that are likely.
            look(likely);
            if (join(likely, lambda)) continue;
            look(all);
            if (!join(all, lambda)) return;
        }
    }

    // A feature at 0 stays there as long as its gradient is within the penalty.
    private boolean join(int[] asked, double lambda) {
        boolean[] in = new boolean[beta.length];
        for (int j : gram.members()) in[j] = true;
        int[] joining = Arrays.stream(asked)
                .filter(j -> !in[j] && Math.abs(pull[j]) > lambda * (1 + 1e-9))
                .toArray();
        if (joining.length > 0) gram.join(joining);
        return joining.length > 0;
    }

    // By how much the members miss the conditions of a minimum.
    private double missed(double lambda) {
        int[] members = gram.members();
        return missed(pick(beta, members), pick(pull, members), lambda);
    }

    private double missed(double[] coefficients, double[] pulls, double lambda) {
        int[] members = gram.members();
        double most = 0;
        for (int k = 0; k < coefficients.length; k++) {
            double penalty = penalty(members[k], lambda);
            double b = coefficients[k];
            most = Math.max(
                    most, b == 0 ? Math.abs(pulls[k]) - penalty : Math.abs(pulls[k] - Math.signum(b) * penalty));
        }
        return most;
    }

    // One minimum of the quadratic model, of which as much is gone as pays.
    private void step(double lambda) {
        double[] weight = weight();
        if (gram.distance(weight) > CHANGED) renew(weight, lambda);
        int[] members = gram.members();
        double[] from = pick(beta, members);
        double[] off = pick(pull, members);
        double[] change = descend(from, off, lambda);
        double promised = 0;
        for (int k = 0; k < change.length; k++) {
            double heavier = Math.abs(from[k] + change[k]) - Math.abs(from[k]);
            promised += penalty(members[k], lambda) * heavier - off[k] * change[k];
        }
        double share = go(from, change, promised, lambda);
        if (share < 1) renew(weight(), lambda);
    }

    private static double[] pick(double[] values, int[] chosen) {
        return Arrays.stream(chosen).mapToDouble(j -> values[j]).toArray();
    }

    private double penalty(int j, double lambda) {
        return j == constant ? 0 : lambda;
    }

    private void renew(double[] weight, double lambda) {
        int[] staying = Arrays.stream(gram.members())
                .filter(j -> j == constant || beta[j] != 0 || Math.abs(pull[j]) > lambda)
                .toArray();
        gram = new WeightedGram(z, weight);
        gram.join(staying);
    }

    // The change of each member's coefficient that the quadratic model asks for.
    private double[] descend(double[] from, double[] pulls, double lambda) {
        int[] members = gram.members();
        double[] to = from.clone();
        double[] off = Arrays.copyOf(pulls, gram.width());
        // The next step has another gradient: what this one leaves need be small against what it changed.
        double wanted = LEFT * missed(from, pulls, lambda);
        for (int sweep = 0; sweep < MOST_SWEEPS && missed(to, off, lambda) > wanted; sweep++)
            for (int k = 0; k < to.length; k++) {
                double[] row = gram.row(k);
                double next = shrunk(off[k] + row[k] * to[k], penalty(members[k], lambda)) / row[k];
                double change = next - to[k];
                if (change == 0) continue;
                to[k] = next;
                for (int l = 0; l < off.length; l++) off[l] -= change * row[l];
            }
        for (int k = 0; k < to.length; k++) to[k] -= from[k];
        return to;
    }

    private static double shrunk(double value, double penalty) {
        return Math.abs(value) <= penalty ? 0 : value - Math.signum(value) * penalty;
    }

    // The share of a change that lessens loss and penalty together, as far as the first part of it promises.
    private double go(double[] from, double[] change, double promised, double lambda) {
        int[] members = gram.members();
        double[] along = new double[n];
        for (int k = 0; k < change.length; k++) if (change[k] != 0) add(change[k], z[members[k]], along);
        double before = loss + size(lambda);
        double[] start = eta.clone();
        for (double share = 1; ; share /= 2) {
            for (int k = 0; k < change.length; k++) beta[members[k]] = from[k] + share * change[k];
            for (int i = 0; i < n; i++) eta[i] = start[i] + share * along[i];
            loss = predict();
            double limit = before * (1 + ROUNDING) + ENOUGH * share * promised;
            if (loss + size(lambda) <= limit || share < LEAST_SHARE) return share;
        }
    }

    private double size(double lambda) {
        double sum = 0;
        for (int j = 0; j < constant; j++) sum += Math.abs(beta[j]);
        return lambda * sum;
    }

    private static void add(double factor, float[] column, double[] sum) {
        for (int i = 0; i < sum.length; i++) sum[i] += factor * column[i];
    }

    private Model model(double lambda) {
        List<Double> coefficients = new ArrayList<>();
        double intercept = beta[constant];
        for (int j = 0; j < constant; j++) {
            double b = beta[j] == 0 ? 0 : beta[j] / deviation[j];
            coefficients.add(b);
            intercept -= b * mean[j];
        }
        return new Model(lambda, intercept, coefficients);
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
