// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.task.Workers;

/**
 * The surface of a region as the distance from its centre: an ellipsoid and a sum of spherical harmonics,
 * R(u) = R_e(u) + Σ c_lm Y_lm(u), u a direction, in mm.
 *
 * <p>The ellipsoid has the region's centre and second moments and its volume. The harmonics are fitted by weighted,
 * regularised least squares to the border lines in the slices, min Σ w (ρ − R(u))² + Σ μ_l c_lm²: between two slices and
 * above the last one there is no datum, so nothing is made up there but the smoothest surface that agrees with the lines.
 * Weights make all directions count alike: each cell of the sphere weighs its solid angle, shared among its points.
 * μ_l = ε ((l(l+1) / L(L+1))² + 1/50), ε the settings' stiffness, holds back what the gaps would let swing. The degree L
 * ends where half a wave on the surface is as long as the coarsest spacing, π R / l, or at the settings' limit: thick
 * slices see coarse waves only.
 *
 * <p>Undefined for a region without a border line or so small that L is below 2. Cost: points × terms × steps of the
 * conjugate gradients.
 *
 * <p>Source: Brechbühler, Gerig and Kübler 1995, doi:10.1006/cviu.1995.1013, for surfaces as sums of harmonics; the fit
 * to slices: ours.
 */
final class RadialShape {
    private static final int MOST_POINTS = 2500;
    private static final int RINGS = 36;
    private static final int STEPS = 60;
    private static final double FLOOR = 1.0 / 50;

    private final double[] centre;
    private final double[] inverse;
    private final double radius;
    private final int degree;
    private double[] terms = {};

    private RadialShape(Mask region, int highestDegree) {
        Moments moments = new Moments(region);
        centre = moments.centre();
        radius = Math.cbrt(3 * region.volume() / (4 * Math.PI));
        inverse = moments.ellipsoid(radius);
        Spacing s = region.grid().spacing();
        double coarsest = Math.max(s.x(), Math.max(s.y(), s.z()));
        degree = (int) Math.min(highestDegree, Math.PI * radius / coarsest);
    }

    /** Empty where undefined. */
    static Optional<RadialShape> fit(
            Mask region, List<SliceContour> lines, int highestDegree, double stiffness, Workers workers) {
        if (lines.isEmpty()) return Optional.empty();
        RadialShape shape = new RadialShape(region, highestDegree);
        if (shape.degree < 2) return Optional.empty();
        shape.fit(shape.points(region.grid(), lines), stiffness, workers);
        return Optional.of(shape);
    }

    /** Centre of the region, in mm along the grid's axes. */
    double[] centre() {
        return centre.clone();
    }

    /** Radius of the ball of the same volume, in mm. */
    double radius() {
        return radius;
    }

    /** L, the highest degree that the slices can show. */
    int degree() {
        return degree;
    }

    /** R_e(u), in mm. */
    double ellipsoid(double x, double y, double z) {
        double[] q = inverse;
        return 1
                / Math.sqrt(
                        q[0] * x * x + q[1] * y * y + q[2] * z * z + 2 * (q[3] * x * y + q[4] * x * z + q[5] * y * z));
    }

    /** Root mean square, over all directions, of what one degree adds, in mm: √(Σ_m c_lm² / 4π). */
    double amplitude(int l) {
        double sum = 0;
        for (int m = -l; m <= l; m++) sum += square(terms[SphericalHarmonics.term(l, m)]);
        return Math.sqrt(sum / (4 * Math.PI));
    }

    /** Root mean square of all degrees above one, in mm. */
    double amplitudeAbove(int lowest) {
        double sum = 0;
        for (int l = lowest + 1; l <= degree; l++) sum += square(amplitude(l));
        return Math.sqrt(sum);
    }

    /** c_lm in mm, by place. */
    double term(int place) {
        return terms[place];
    }

    private static double square(double v) {
        return v * v;
    }

    // Per point: direction, and the distance from the ellipsoid in mm.
    private double[][] points(Grid grid, List<SliceContour> lines) {
        double total = lines.stream().mapToDouble(SliceContour::perimeter).sum();
        double step = Math.max(Math.min(grid.spacing().x(), grid.spacing().y()), total / MOST_POINTS);
        return lines.stream()
                .map(line -> line.evenly((int) Math.max(3, Math.ceil(line.perimeter() / step))))
                .flatMap(line -> IntStream.range(0, line.corners())
                        .mapToObj(i -> point(line.x(i), line.y(i), SliceContours.z(grid, line))))
                .toArray(double[][]::new);
    }

    private double[] point(double px, double py, double pz) {
        double x = px - centre[0];
        double y = py - centre[1];
        double z = pz - centre[2];
        double rho = Math.max(1e-9, Math.sqrt(x * x + y * y + z * z));
        double[] u = {x / rho, y / rho, z / rho, 0};
        u[3] = rho - ellipsoid(u[0], u[1], u[2]);
        return u;
    }

    private void fit(double[][] points, double stiffness, Workers workers) {
        SphericalHarmonics harmonics = new SphericalHarmonics(degree);
        double[] weights = weights(points);
        double[][] rows = new double[points.length][];
        int block = 512;
        workers.forEach((points.length + block - 1) / block, b -> {
            for (int i = b * block; i < Math.min(points.length, (b + 1) * block); i++)
                rows[i] = harmonics.at(points[i][0], points[i][1], points[i][2]);
        });
        double[] penalty = new double[harmonics.terms()];
        for (int l = 0; l <= degree; l++)
            for (int m = -l; m <= l; m++)
                penalty[SphericalHarmonics.term(l, m)] =
                        stiffness * (square(l * (l + 1.0) / (degree * (degree + 1.0))) + FLOOR);
        terms = solve(rows, weights, points, penalty);
    }

    // Cells of even height in angle and about even width; together they weigh 4π.
    private static double[] weights(double[][] points) {
        int[] cell = new int[points.length];
        int[] count = new int[RINGS * 2 * RINGS];
        for (int i = 0; i < points.length; i++) {
            double[] p = points[i];
            int ring = (int) Math.min(RINGS - 1, Math.acos(Math.max(-1, Math.min(1, p[2]))) / Math.PI * RINGS);
            int around = cells(ring);
            int turn = (int) Math.min(around - 1, (Math.atan2(p[1], p[0]) / (2 * Math.PI) + 0.5) * around);
            cell[i] = ring * 2 * RINGS + turn;
            count[cell[i]]++;
        }
        double[] weights = new double[points.length];
        double sum = 0;
        for (int i = 0; i < weights.length; i++) sum += weights[i] = 1.0 / count[cell[i]];
        for (int i = 0; i < weights.length; i++) weights[i] *= 4 * Math.PI / sum;
        return weights;
    }

    private static int cells(int ring) {
        return (int) Math.max(1, Math.round(2 * RINGS * Math.sin((ring + 0.5) * Math.PI / RINGS)));
    }

    // Conjugate gradients on (AᵀWA + M) c = AᵀWd; AᵀWA is near the identity, so few steps do.
    private static double[] solve(double[][] rows, double[] weights, double[][] points, double[] penalty) {
        int n = penalty.length;
        double[] c = new double[n];
        double[] r = new double[n];
        for (int i = 0; i < rows.length; i++) add(r, rows[i], weights[i] * points[i][3]);
        double[] p = r.clone();
        double now = dot(r, r);
        double first = now;
        for (int step = 0; step < STEPS && now > 1e-10 * first; step++) {
            double[] ap = new double[n];
            for (int k = 0; k < n; k++) ap[k] = penalty[k] * p[k];
            for (int i = 0; i < rows.length; i++) add(ap, rows[i], weights[i] * dot(rows[i], p));
            double alpha = now / dot(p, ap);
            add(c, p, alpha);
            add(r, ap, -alpha);
            double next = dot(r, r);
            double beta = next / now;
            for (int k = 0; k < n; k++) p[k] = r[k] + beta * p[k];
            now = next;
        }
        return c;
    }

    private static void add(double[] to, double[] v, double factor) {
        for (int k = 0; k < to.length; k++) to[k] += factor * v[k];
    }

    private static double dot(double[] a, double[] b) {
        double even = 0;
        double odd = 0;
        int k = 0;
        for (; k + 1 < a.length; k += 2) {
            even += a[k] * b[k];
            odd += a[k + 1] * b[k + 1];
        }
        return k < a.length ? even + odd + a[k] * b[k] : even + odd;
    }

    /** First and second moments of a region's voxels, in mm along the grid's axes. */
    private static final class Moments {
        private final double[] mean = new double[3];
        private final double[] covariance = new double[6];

        Moments(Mask region) {
            Size size = region.grid().size();
            Spacing s = region.grid().spacing();
            double[] first = new double[3];
            double[] second = new double[6];
            byte[] v = region.voxels();
            int i = 0;
            for (int z = 0; z < size.z(); z++)
                for (int y = 0; y < size.y(); y++) {
                    int count = 0;
                    long sumX = 0;
                    long sumXx = 0;
                    for (int x = 0; x < size.x(); x++, i++) {
                        count += v[i];
                        sumX += (long) v[i] * x;
                        sumXx += (long) v[i] * x * x;
                    }
                    if (count == 0) continue;
                    double[] p = {sumX * s.x(), y * s.y() * count, z * s.z() * count};
                    for (int a = 0; a < 3; a++) first[a] += p[a];
                    second[0] += sumXx * s.x() * s.x();
                    second[1] += p[1] * y * s.y();
                    second[2] += p[2] * z * s.z();
                    second[3] += p[0] * y * s.y();
                    second[4] += p[0] * z * s.z();
                    second[5] += p[1] * z * s.z();
                }
            int[][] pairs = {{0, 0}, {1, 1}, {2, 2}, {0, 1}, {0, 2}, {1, 2}};
            for (int a = 0; a < 3; a++) mean[a] = first[a] / region.count();
            for (int k = 0; k < 6; k++)
                covariance[k] = second[k] / region.count() - mean[pairs[k][0]] * mean[pairs[k][1]];
            // a region one voxel thick along an axis still has that voxel's own spread
            double[] own = {s.x() * s.x() / 12, s.y() * s.y() / 12, s.z() * s.z() / 12};
            for (int a = 0; a < 3; a++) covariance[a] = Math.max(covariance[a], own[a]);
        }

        double[] centre() {
            return mean.clone();
        }

        /** Q with uᵀQu = 1 on the ellipsoid of these moments, scaled to the volume of a ball: xx, yy, zz, xy, xz, yz. */
        double[] ellipsoid(double radius) {
            double[] c = covariance;
            double[] q = {
                c[1] * c[2] - c[5] * c[5],
                c[0] * c[2] - c[4] * c[4],
                c[0] * c[1] - c[3] * c[3],
                c[4] * c[5] - c[3] * c[2],
                c[3] * c[5] - c[4] * c[1],
                c[3] * c[4] - c[5] * c[0]
            };
            double determinant = c[0] * q[0] + c[3] * q[3] + c[4] * q[4];
            // the inverse is q / det, and its own determinant 1 / det must become radius⁻⁶
            double scale = Math.cbrt(determinant) / determinant / (radius * radius);
            for (int k = 0; k < 6; k++) q[k] *= scale;
            return q;
        }
    }
}
