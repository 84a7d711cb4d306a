// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.ArrayRealVector;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;
import org.leiogauge.image.Vector;

/**
 * Uphill to the nearest maximum of the mutual information.
 *
 * <p>Steps δ solve (H + λ diag H) δ = g; λ falls after a step that rises, grows after one that doesn't.
 *
 * <p>Source: Levenberg 1944, doi:10.1090/qam/10666; Marquardt 1963, doi:10.1137/0111030.
 */
final class Ascent {
    private static final double STEEPEST = 1e6;

    private Ascent() {}

    record Summit(Correspondence at, MutualInformation.Evaluation evaluation) {}

    /**
     * @param radiusMm of the region: turns a turn into mm
     * @param longestMm no step is longer
     * @param shortestMm ends when a step is shorter
     */
    static Summit climb(
            MutualInformation similarity,
            Correspondence start,
            double radiusMm,
            double longestMm,
            double shortestMm,
            int steps) {
        Summit best = new Summit(start, similarity.derivatives(start));
        double damping = 0.01;
        for (int i = 0; i < steps && best.evaluation.gradient.length > 0 && damping < STEEPEST; i++) {
            double[] step = step(best.evaluation, damping);
            double length = length(step, radiusMm);
            double scale = Math.min(1, longestMm / length);
            for (int k = 0; k < step.length; k++) step[k] *= scale;
            Correspondence tried = MutualInformation.moved(best.at, step);
            MutualInformation.Evaluation there = similarity.derivatives(tried);
            boolean rises = there.value > best.evaluation.value && there.overlap > 0.5 * best.evaluation.overlap;
            if (rises) best = new Summit(tried, there);
            damping = rises ? Math.max(damping / 6, 1e-4) : damping * 5;
            if (length < shortestMm) break;
        }
        return best;
    }

    private static double[] step(MutualInformation.Evaluation e, double damping) {
        RealMatrix h = new Array2DRowRealMatrix(e.information);
        double largest = 0;
        for (int i = 0; i < e.gradient.length; i++) largest = Math.max(largest, h.getEntry(i, i));
        for (int i = 0; i < e.gradient.length; i++)
            h.setEntry(i, i, h.getEntry(i, i) * (1 + damping) + 1e-9 * largest + 1e-12);
        return new LUDecomposition(h)
                .getSolver()
                .solve(new ArrayRealVector(e.gradient))
                .toArray();
    }

    private static double length(double[] step, double radiusMm) {
        double sum = new Vector(step[0], step[1], step[2]).length() * radiusMm
                + new Vector(step[3], step[4], step[5]).length();
        for (int k = 6; k < step.length; k++) sum += Math.abs(step[k]);
        return sum;
    }
}
