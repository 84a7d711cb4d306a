// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;

/**
 * A sigmoid through signals that lie scattered across a border.
 *
 * <p>S(t) = a + (b − a) / (1 + exp(−(t − t₀) / s)), t in mm across the border, positive outside. From 10 to 90 % of the
 * step it takes w = 2 ln 9 · s. Least squares by Levenberg and Marquardt over a, b, t₀ and ln s, with Tukey's weights from
 * the third step on, so that another structure at the far end of the window counts little; t₀ stays within half the
 * window, w between 0.05 mm and the whole window.
 *
 * <p>Source: logistic edge model and robust weights: common practice; Tukey's constant 4.685: Holland and Welsch 1977,
 * doi:10.1080/03610927708827533.
 *
 * @param inside a
 * @param outside b
 * @param offsetMm t₀
 * @param widthMm w
 * @param noise 1.4826 times the median distance of the signals from the curve
 */
record EdgeFit(double inside, double outside, double offsetMm, double widthMm, double noise) {
    /** 10 to 90 % of a logistic step over its scale. */
    static final double TEN_TO_NINETY = 2 * Math.log(9);
    /** w² of a logistic step over its variance, π² s² / 3. */
    static final double SQUARE_OVER_VARIANCE = 3 * TEN_TO_NINETY * TEN_TO_NINETY / (Math.PI * Math.PI);

    private static final double TUKEY = 4.685;
    private static final int STEPS = 25;
    private static final int LAST_WEIGHTS = 7;
    private static final double NARROWEST = 0.05;

    /**
     * @param t in mm, on both sides of 0, within the window
     * @param count of signals, 8 or more, at the front of t and signal
     * @param reachMm half the window
     */
    static EdgeFit of(double[] t, double[] signal, int count, double reachMm) {
        return new Work(t, signal, count, reachMm).run();
    }

    private static final class Work {
        private final double[] t;
        private final double[] signal;
        private final int count;
        private final double reach;
        private final double[] residual;
        // the logistic curve at the place that cost() was last asked for, and at p
        private double[] tried;
        private double[] curve;
        private final double[] weight;
        private double[] p;
        private double scale;

        Work(double[] t, double[] signal, int count, double reach) {
            this.t = t;
            this.signal = signal;
            this.count = count;
            this.reach = reach;
            residual = new double[count];
            tried = new double[count];
            curve = new double[count];
            weight = new double[count];
            Arrays.fill(weight, 1);
            p = new double[] {plateau(-1), plateau(1), 0, Math.log(2 / TEN_TO_NINETY)};
        }

        EdgeFit run() {
            double damping = 1e-3;
            double cost = accept();
            for (int step = 0; step < STEPS; step++) {
                if (step == 2 || step == 4 || step == LAST_WEIGHTS) {
                    reweigh();
                    cost = accept();
                }
                double[] next = limited(step(damping));
                double better = cost(next);
                if (better < cost) {
                    boolean done = step > LAST_WEIGHTS && cost - better < 1e-5 * cost;
                    p = next;
                    cost = better;
                    swap();
                    damping = Math.max(1e-7, damping / 5);
                    if (done) break;
                } else {
                    if (damping > 1e3 && step > LAST_WEIGHTS) break;
                    damping *= 8;
                }
            }
            accept();
            return new EdgeFit(p[0], p[1], p[2], TEN_TO_NINETY * Math.exp(p[3]), spread());
        }

        private double plateau(int side) {
            double[] far = new double[count];
            int n = 0;
            for (int i = 0; i < count; i++) if (side * t[i] > reach / 3) far[n++] = signal[i];
            if (n == 0) for (int i = 0; i < count; i++) far[n++] = signal[i];
            Arrays.sort(far, 0, n);
            return far[n / 2];
        }

        private double cost(double[] q) {
            double s = Math.exp(-q[3]);
            double sum = 0;
            for (int i = 0; i < count; i++) {
                double f = 1 / (1 + Math.exp((q[2] - t[i]) * s));
                tried[i] = f;
                residual[i] = signal[i] - q[0] - (q[1] - q[0]) * f;
                sum += weight[i] * residual[i] * residual[i];
            }
            return sum;
        }

        private double accept() {
            double cost = cost(p);
            swap();
            return cost;
        }

        private void swap() {
            double[] swap = curve;
            curve = tried;
            tried = swap;
        }

        private double spread() {
            double[] size = new double[count];
            for (int i = 0; i < count; i++) size[i] = Math.abs(residual[i]);
            Arrays.sort(size);
            return 1.4826 * size[count / 2];
        }

        private void reweigh() {
            accept();
            scale = TUKEY * spread();
            for (int i = 0; i < count; i++) {
                double r = scale > 0 ? residual[i] / scale : 0;
                weight[i] = Math.abs(r) < 1 ? (1 - r * r) * (1 - r * r) : 0;
            }
        }

        private double[] step(double damping) {
            double[][] m = new double[4][5];
            double s = Math.exp(-p[3]);
            double[] j = new double[4];
            for (int i = 0; i < count; i++) {
                double f = curve[i];
                double slope = (p[1] - p[0]) * f * (1 - f);
                double r = signal[i] - p[0] - (p[1] - p[0]) * f;
                j[0] = 1 - f;
                j[1] = f;
                j[2] = -slope * s;
                j[3] = -slope * (t[i] - p[2]) * s;
                for (int a = 0; a < 4; a++) {
                    for (int b = 0; b <= a; b++) m[a][b] += weight[i] * j[a] * j[b];
                    m[a][4] += weight[i] * j[a] * r;
                }
            }
            for (int a = 0; a < 4; a++) {
                for (int b = a + 1; b < 4; b++) m[a][b] = m[b][a];
                m[a][a] = m[a][a] * (1 + damping) + 1e-12;
            }
            return solve(m);
        }

        // Gauss without pivots: the matrix is positive definite.
        private static double[] solve(double[][] m) {
            for (int k = 0; k < 4; k++)
                for (int i = k + 1; i < 4; i++) {
                    double f = m[i][k] / m[k][k];
                    for (int c = k; c < 5; c++) m[i][c] -= f * m[k][c];
                }
            double[] x = new double[4];
            for (int i = 3; i >= 0; i--) {
                double sum = m[i][4];
                for (int c = i + 1; c < 4; c++) sum -= m[i][c] * x[c];
                x[i] = sum / m[i][i];
            }
            return x;
        }

        private double[] limited(double[] change) {
            double[] q = new double[4];
            for (int k = 0; k < 4; k++) q[k] = p[k] + change[k];
            q[2] = Math.max(-reach / 2, Math.min(reach / 2, q[2]));
            q[3] = Math.max(Math.log(NARROWEST / TEN_TO_NINETY), Math.min(Math.log(2 * reach / TEN_TO_NINETY), q[3]));
            return q;
        }
    }
}
