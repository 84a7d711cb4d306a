// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Arrays;

/**
 * The weighted products of those features that take part in a fit: 1/n Σ w_i z_ij z_ik.
 *
 * <p>Features join one after the other, and their products are then made with the weights that all have in common. Sums are in
 * single precision: they say how far to go, not where the end is. Cost: n · m² / 2 for m features.
 *
 * <p>Source: covariance updates of Friedman, Hastie and Tibshirani 2010, doi:10.18637/jss.v033.i01, section 2.2, with weights.
 */
final class WeightedGram {
    private static final int BLOCK = 32;
    // Rows are filled up to whole strips: loops that were short when they were compiled are not made wide.
    private static final int STRIP = 64;

    private final float[][] z;
    private final double[] weight;
    private int[] members = new int[0];
    private double[][] rows = new double[0][];

    /**
     * No member yet.
     *
     * @param z one array per feature, over the cases
     * @param weight of each case
     */
    WeightedGram(float[][] z, double[] weight) {
        this.z = z;
        this.weight = weight.clone();
    }

    /** The features that take part, in the order they joined. */
    int[] members() {
        return members;
    }

    /** The products of one member, by its place, with every member; zeros behind the last, up to {@link #width}. */
    double[] row(int place) {
        return rows[place];
    }

    int width() {
        return width(members.length);
    }

    private static int width(int count) {
        return (count + STRIP - 1) / STRIP * STRIP;
    }

    /** Share of the weights by which others differ from these. */
    double distance(double[] others) {
        double off = 0;
        double all = 0;
        for (int i = 0; i < weight.length; i++) {
            off += Math.abs(others[i] - weight[i]);
            all += weight[i];
        }
        return off / all;
    }

    void join(int[] features) {
        int before = members.length;
        int m = before + features.length;
        members = Arrays.copyOf(members, m);
        System.arraycopy(features, 0, members, before, features.length);
        float[][] sums = new float[features.length][];
        for (int r = 0; r < sums.length; r++) sums[r] = new float[width()];
        float[][] cases = new float[BLOCK][width()];
        for (int from = 0; from < weight.length; from += BLOCK) {
            turn(from, cases);
            add(from, before, cases, sums);
        }
        rows = Arrays.copyOf(rows, m);
        for (int r = 0; r < before; r++) rows[r] = Arrays.copyOf(rows[r], width());
        for (int r = before; r < m; r++) rows[r] = new double[width()];
        for (int r = before; r < m; r++)
            for (int k = 0; k <= r; k++) rows[k][r] = rows[r][k] = sums[r - before][k] / weight.length;
    }

    // One row per case of a block; those past the last case are 0.
    private void turn(int from, float[][] cases) {
        int count = Math.min(BLOCK, weight.length - from);
        for (int k = 0; k < members.length; k++) {
            float[] column = z[members[k]];
            for (int i = 0; i < count; i++) cases[i][k] = column[from + i];
        }
        for (int i = count; i < BLOCK; i++) Arrays.fill(cases[i], 0);
    }

    private void add(int from, int before, float[][] cases, float[][] sums) {
        float[] w = new float[BLOCK];
        for (int i = 0; i < Math.min(BLOCK, weight.length - from); i++) w[i] = (float) weight[from + i];
        for (int r = 0; r < sums.length; r++) for (int i = 0; i < BLOCK; i += 4) add(cases, i, w, before + r, sums[r]);
    }

    // Four cases at a time; one plain loop over the members, which the compiler makes wide.
    private static void add(float[][] cases, int i, float[] w, int place, float[] sums) {
        float[] x0 = cases[i];
        float[] x1 = cases[i + 1];
        float[] x2 = cases[i + 2];
        float[] x3 = cases[i + 3];
        float w0 = w[i] * x0[place];
        float w1 = w[i + 1] * x1[place];
        float w2 = w[i + 2] * x2[place];
        float w3 = w[i + 3] * x3[place];
        int end = width(place + 1);
        for (int k = 0; k < end; k++) sums[k] += w0 * x0[k] + w1 * x1[k] + (w2 * x2[k] + w3 * x3[k]);
    }
}
