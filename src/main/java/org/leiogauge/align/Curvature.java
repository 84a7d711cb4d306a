// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.List;
import java.util.Optional;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.CholeskyDecomposition;
import org.apache.commons.math3.linear.NonPositiveDefiniteMatrixException;
import org.apache.commons.math3.linear.RealMatrix;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Workers;

/**
 * How sharp a summit of the mutual information is, and how uncertain that leaves the correspondence.
 *
 * <p>H: differences of the gradient over {@link #STEP_MM} along each parameter, the sign turned. Covariance of the
 * parameters H⁻¹ (Σ g gᵀ) H⁻¹, g the gradient's shares of the region's blocks.
 *
 * <p>Source: White 1982, doi:10.2307/1912526, eq. 3.2, with blocks for observations.
 */
final class Curvature {
    private static final double STEP_MM = 0.3;

    private final Ascent.Summit summit;
    private final RealMatrix inverse;

    private Curvature(Ascent.Summit summit, RealMatrix inverse) {
        this.summit = summit;
        this.inverse = inverse;
    }

    /** Empty where there is no maximum. */
    static Optional<Curvature> of(
            MutualInformation similarity, Ascent.Summit summit, double radiusMm, Workers workers) {
        double[] g = summit.evaluation().gradient;
        int n = g.length;
        if (n == 0) return Optional.empty();
        List<double[]> beside = workers.map(n, k -> {
            double[] step = new double[n];
            step[k] = stride(k, radiusMm);
            return similarity.derivatives(MutualInformation.moved(summit.at(), step)).gradient;
        });
        RealMatrix h = new Array2DRowRealMatrix(n, n);
        for (int i = 0; i < n; i++) {
            if (beside.get(i).length != n) return Optional.empty();
            for (int k = 0; k < n; k++) {
                double change = (g[k] - beside.get(i)[k]) / stride(i, radiusMm);
                h.addToEntry(i, k, change / 2);
                h.addToEntry(k, i, change / 2);
            }
        }
        try {
            RealMatrix inverse =
                    new CholeskyDecomposition(h, 1e-9, 1e-14).getSolver().getInverse();
            return Optional.of(new Curvature(summit, inverse));
        } catch (NonPositiveDefiniteMatrixException e) {
            return Optional.empty();
        }
    }

    private static double stride(int parameter, double radiusMm) {
        return parameter < 3 ? STEP_MM / radiusMm : STEP_MM;
    }

    /** The Newton step to the top. */
    double[] step() {
        return inverse.operate(summit.evaluation().gradient);
    }

    /** Of the correspondence at these places, root mean square, in mm. */
    double uncertainty(List<Point> places) {
        int n = inverse.getRowDimension();
        RealMatrix scatter = new Array2DRowRealMatrix(n, n);
        for (double[] g : summit.evaluation().blockGradient)
            for (int a = 0; a < n; a++) for (int c = 0; c < n; c++) scatter.addToEntry(a, c, g[a] * g[c]);
        RealMatrix covariance = inverse.multiply(scatter).multiply(inverse);
        double sum = 0;
        for (Point p : places) {
            RealMatrix j = answer(p);
            sum += j.multiply(covariance).multiply(j.transpose()).getTrace();
        }
        return Math.sqrt(sum / places.size());
    }

    // How the place to which a point corresponds answers to each parameter, before the turn: 3 rows.
    private RealMatrix answer(Point p) {
        int n = inverse.getRowDimension();
        RigidTransform motion = summit.at().motion();
        Vector r = p.minus(motion.centre());
        double[][] j = new double[3][n];
        j[0][1] = r.z();
        j[0][2] = -r.y();
        j[1][0] = -r.z();
        j[1][2] = r.x();
        j[2][0] = r.y();
        j[2][1] = -r.x();
        for (int a = 0; a < 3; a++) j[a][3 + a] = 1;
        if (n == 6) return new Array2DRowRealMatrix(j);
        EchoPlanarShift u = summit.at().distortion();
        double[] terms = new double[n];
        EchoPlanarShift.terms(r.x() / u.reachMm(), r.y() / u.reachMm(), r.z() / u.reachMm(), terms, 6);
        Vector e = motion.inverse().apply(u.direction());
        for (int k = 6; k < n; k++) {
            j[0][k] = terms[k] * e.x();
            j[1][k] = terms[k] * e.y();
            j[2][k] = terms[k] * e.z();
        }
        return new Array2DRowRealMatrix(j);
    }
}
