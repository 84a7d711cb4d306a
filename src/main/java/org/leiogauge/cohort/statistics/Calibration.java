// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

/**
 * How well predicted probabilities fit what came true.
 *
 * <p>Brier score: mean of (p − y)². Logarithmic loss: mean of −ln of the probability given to what came true. Intercept and
 * slope: of the logistic regression of y on ln(p/(1 − p)); 0 and 1 are right, a slope under 1 says that the predictions are
 * too bold. Probabilities are kept 10⁻¹² away from 0 and 1. Slope and intercept are NaN where the predictions separate the
 * classes or do not vary.
 *
 * <p>Source: Brier 1950; slope and intercept: Cox 1958, doi:10.1093/biomet/45.3-4.562.
 */
public record Calibration(double brier, double logarithmicLoss, double intercept, double slope) {
    private static final double EDGE = 1e-12;

    public static Calibration of(double[] probabilities, boolean[] positive) {
        int n = probabilities.length;
        if (n == 0 || positive.length != n)
            throw new IllegalArgumentException(
                    "positive must have one entry per probability, got " + positive.length + " for " + n);
        double brier = 0;
        double loss = 0;
        double[] logit = new double[n];
        for (int i = 0; i < n; i++) {
            double p = Math.min(1 - EDGE, Math.max(EDGE, probabilities[i]));
            double y = positive[i] ? 1 : 0;
            brier += (p - y) * (p - y) / n;
            loss -= Math.log(positive[i] ? p : 1 - p) / n;
            logit[i] = Math.log(p / (1 - p));
        }
        double[] line = line(logit, positive);
        return new Calibration(brier, loss, line[0], line[1]);
    }

    // Newton's method for two parameters.
    private static double[] line(double[] x, boolean[] positive) {
        double a = 0;
        double b = 1;
        for (int step = 0; step < 100; step++) {
            double ga = 0;
            double gb = 0;
            double haa = 0;
            double hab = 0;
            double hbb = 0;
            for (int i = 0; i < x.length; i++) {
                double p = SparseLogistic.sigmoid(a + b * x[i]);
                double r = (positive[i] ? 1 : 0) - p;
                double w = p * (1 - p);
                ga += r;
                gb += r * x[i];
                haa += w;
                hab += w * x[i];
                hbb += w * x[i] * x[i];
            }
            double determinant = haa * hbb - hab * hab;
            if (!(determinant > 1e-10 * haa * hbb)) return new double[] {Double.NaN, Double.NaN};
            double da = (hbb * ga - hab * gb) / determinant;
            double db = (haa * gb - hab * ga) / determinant;
            a += da;
            b += db;
            if (Math.abs(da) + Math.abs(db) < 1e-10) return new double[] {a, b};
        }
        return new double[] {Double.NaN, Double.NaN};
    }
}
