// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.leiogauge.image.Vector;

/**
 * Uphill to the nearest maximum of the mutual information.
 *
 * <p>Quasi-Newton steps B g: B begins as the inverse of the expected curvature and learns from the gradients (BFGS). A
 * step that does not rise is shortened to the top of the parabola through what is known of it.
 *
 * <p>Source: Nocedal and Wright 2006, Numerical Optimization, eq. 6.17 and 6.20.
 */
final class Ascent {
    private static final int SHORTENINGS = 6;
    // Slopes of a flat image, by rounding, are far below.
    private static final double FLAT = 1e-10;

    private Ascent() {}

    record Summit(Correspondence at, MutualInformation.Evaluation evaluation) {}

    /**
     * @param radiusMm of the region: turns a turn into mm
     * @param longestMm no step is longer
     * @param shortestMm ends when a step is shorter
     * @param steps ends after as many
     */
    static Summit climb(
            MutualInformation similarity,
            Correspondence start,
            double radiusMm,
            double longestMm,
            double shortestMm,
            int steps) {
        Summit best = new Summit(start, similarity.curved(start));
        if (!hasSlopes(best.evaluation)) return best;
        RealMatrix inverse = expected(best.evaluation);
        for (int i = 0; i < steps; i++) {
            double[] step = inverse.operate(best.evaluation.gradient);
            double length = length(step, radiusMm);
            scale(step, Math.min(1, longestMm / length));
            Summit next = rise(similarity, best, step);
            if (next == best) break;
            inverse = learned(inverse, step, best.evaluation.gradient, next.evaluation.gradient, i == 0);
            best = next;
            if (i > 0 && length(step, radiusMm) < shortestMm) break;
        }
        return best;
    }

    // An image that is flat here leads nowhere.
    private static boolean hasSlopes(MutualInformation.Evaluation e) {
        for (int i = 0; i < e.gradient.length; i++) if (e.information[i][i] > FLAT) return true;
        return false;
    }

    /** One more step, if it rises. */
    static Summit onward(MutualInformation similarity, Summit from, double[] step) {
        return rise(similarity, from, step.clone());
    }

    // Shortens the step in place until it rises; the same summit if it never does.
    private static Summit rise(MutualInformation similarity, Summit from, double[] step) {
        double slope = dot(step, from.evaluation.gradient);
        for (int i = 0; i < SHORTENINGS && slope > 0; i++) {
            Correspondence tried = MutualInformation.moved(from.at, step);
            MutualInformation.Evaluation there = similarity.derivatives(tried);
            double gain = there.value - from.evaluation.value;
            if (gain > 1e-4 * slope && there.overlap > 0.5 * from.evaluation.overlap) return new Summit(tried, there);
            double top = slope / (2 * (slope - gain));
            double factor = Math.max(0.1, Math.min(0.5, top));
            scale(step, factor);
            slope *= factor;
        }
        return from;
    }

    private static RealMatrix expected(MutualInformation.Evaluation e) {
        RealMatrix h = new Array2DRowRealMatrix(e.information);
        double largest = 0;
        for (int i = 0; i < e.gradient.length; i++) largest = Math.max(largest, h.getEntry(i, i));
        for (int i = 0; i < e.gradient.length; i++) h.setEntry(i, i, h.getEntry(i, i) * 1.01 + 1e-9 * largest + 1e-12);
        return new LUDecomposition(h, 0).getSolver().getInverse();
    }

    // y: how the gradient of the falling function changed. The first step only teaches the scale.
    private static RealMatrix learned(
            RealMatrix inverse, double[] step, double[] before, double[] after, boolean first) {
        int n = step.length;
        double[] y = new double[n];
        for (int i = 0; i < n; i++) y[i] = before[i] - after[i];
        double sy = dot(step, y);
        double[] by = inverse.operate(y);
        double yby = dot(y, by);
        if (!(sy > 1e-10 * Math.sqrt(dot(step, step) * dot(y, y)))) return first ? inverse.scalarMultiply(4) : inverse;
        RealMatrix b = inverse;
        if (first) {
            b = inverse.scalarMultiply(sy / yby);
            by = b.operate(y);
            yby = sy;
        }
        RealMatrix next = b.copy();
        for (int i = 0; i < n; i++)
            for (int j = 0; j < n; j++)
                next.addToEntry(
                        i, j, (1 + yby / sy) * step[i] * step[j] / sy - (by[i] * step[j] + step[i] * by[j]) / sy);
        return next;
    }

    private static double dot(double[] a, double[] b) {
        double sum = 0;
        for (int i = 0; i < a.length; i++) sum += a[i] * b[i];
        return sum;
    }

    private static void scale(double[] step, double factor) {
        for (int i = 0; i < step.length; i++) step[i] *= factor;
    }

    private static double length(double[] step, double radiusMm) {
        double sum = new Vector(step[0], step[1], step[2]).length() * radiusMm
                + new Vector(step[3], step[4], step[5]).length();
        for (int k = 6; k < step.length; k++) sum += Math.abs(step[k]);
        return sum;
    }
}
