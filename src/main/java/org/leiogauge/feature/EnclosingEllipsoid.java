// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.apache.commons.math3.linear.Array2DRowRealMatrix;
import org.apache.commons.math3.linear.EigenDecomposition;
import org.apache.commons.math3.linear.LUDecomposition;
import org.apache.commons.math3.linear.RealMatrix;

/**
 * The ellipsoid of the least volume that holds a set of points.
 *
 * <p>Weights u of the points, Σu = 1, are moved until all points lie within the ellipsoid of the weighted scatter, but for
 * a share of 10⁻⁶; it is then scaled so that they do. Only few points matter: it is done for a few, and those that lie
 * farthest outside are added until none does. Cost: a few passes over the points, and some thousand steps over the few.
 *
 * <p>Source: Todd and Yıldırım 2007, doi:10.1016/j.dam.2007.02.013, algorithm with steps away.
 */
final class EnclosingEllipsoid {
    private static final double TOLERANCE = 1e-6;
    private static final int MOST_STEPS = 20_000;
    private static final int AT_ONCE = 8;
    // Steps after which what is only taken along is worked out anew.
    private static final int REFRESHED = 100;
    private static final int D = 3;

    private EnclosingEllipsoid() {}

    /** @param points x, y and z each; not all in one plane */
    static Ellipsoid of(double[][] points) {
        double[][] all = centred(points);
        Set<Integer> active = new TreeSet<>(extremes(all));
        double[] weights = new double[all.length];
        active.forEach(i -> weights[i] = 1.0 / active.size());
        double[] heights = new double[all.length];
        while (true) {
            int[] few = active.stream().mapToInt(Integer::intValue).toArray();
            move(weights, few, all);
            heights(all, inverse(scatter(all, weights)), heights);
            List<Integer> beyond = IntStream.range(0, all.length)
                    .filter(i -> heights[i] > (D + 1) * (1 + TOLERANCE) && !active.contains(i))
                    .boxed()
                    .sorted(Comparator.comparingDouble(i -> -heights[i]))
                    .limit(AT_ONCE)
                    .toList();
            if (beyond.isEmpty()) return ellipsoid(all, weights);
            active.addAll(beyond);
        }
    }

    /** Moves the weights of a few points, from where they are. */
    private static void move(double[] all, int[] few, double[][] allPoints) {
        double[] weights = Arrays.stream(few).mapToDouble(i -> all[i]).toArray();
        double[][] points = Arrays.stream(few).mapToObj(i -> allPoints[i]).toArray(double[][]::new);
        move(weights, points);
        for (int k = 0; k < few.length; k++) all[few[k]] = weights[k];
    }

    // The points that lie farthest along the axes and the diagonals of the cube.
    private static List<Integer> extremes(double[][] points) {
        return IntStream.range(0, 26)
                .map(k -> k < 13 ? k : k + 1)
                .mapToObj(k -> new int[] {k % 3 - 1, k / 3 % 3 - 1, k / 9 - 1})
                .map(d -> IntStream.range(0, points.length)
                        .boxed()
                        .max(Comparator.comparingDouble(
                                i -> d[0] * points[i][0] + d[1] * points[i][1] + d[2] * points[i][2]))
                        .orElseThrow())
                .toList();
    }

    private static void move(double[] weights, double[][] points) {
        double[] heights = new double[points.length];
        double[][] inverse = {};
        for (int step = 0; step < MOST_STEPS; step++) {
            if (step % REFRESHED == 0) {
                inverse = inverse(scatter(points, weights));
                heights(points, inverse, heights);
            }
            int far = 0;
            int near = -1;
            for (int i = 0; i < heights.length; i++) {
                if (heights[i] > heights[far]) far = i;
                if (weights[i] > 0 && (near < 0 || heights[i] < heights[near])) near = i;
            }
            double above = heights[far] / (D + 1) - 1;
            double below = 1 - heights[near] / (D + 1);
            if (Math.max(above, below) < TOLERANCE / 2) break;
            int moved = above > below ? far : near;
            double share = above > below ? toward(heights[far]) : away(weights[near], heights[near]);
            // A step away may take all of the weight: then exactly.
            boolean isDropped = share == -weights[moved] / (1 - weights[moved]);
            for (int i = 0; i < weights.length; i++) weights[i] *= 1 - share;
            weights[moved] = isDropped ? 0 : weights[moved] + share;
            follow(points, moved, share, inverse, heights);
        }
    }

    private static double[][] centred(double[][] points) {
        double[] mean = new double[D];
        for (double[] p : points) for (int k = 0; k < D; k++) mean[k] += p[k] / points.length;
        return Arrays.stream(points)
                .map(p -> new double[] {p[0] - mean[0], p[1] - mean[1], p[2] - mean[2], 1})
                .toArray(double[][]::new);
    }

    /** The share of its weight that the farthest point is given. */
    private static double toward(double height) {
        return (height - (D + 1)) / ((D + 1) * (height - 1));
    }

    /** The share, below 0, by which the nearest point loses weight; at most all of it. */
    private static double away(double weight, double height) {
        double all = -weight / (1 - weight);
        return height > 1 ? Math.max(all, (height - (D + 1)) / ((D + 1) * (height - 1))) : all;
    }

    /** Takes the inverse scatter and the heights along when the scatter X becomes (1 − λ) X + λ q qᵀ. */
    private static void follow(double[][] points, int moved, double share, double[][] inverse, double[] heights) {
        double[] q = points[moved];
        double[] u = new double[D + 1];
        for (int r = 0; r <= D; r++) for (int c = 0; c <= D; c++) u[r] += inverse[r][c] * q[c];
        double factor = share / (1 - share + share * heights[moved]);
        double scale = 1 / (1 - share);
        for (int r = 0; r <= D; r++)
            for (int c = 0; c <= D; c++) inverse[r][c] = scale * (inverse[r][c] - factor * u[r] * u[c]);
        for (int i = 0; i < heights.length; i++) {
            double along = points[i][0] * u[0] + points[i][1] * u[1] + points[i][2] * u[2] + u[3];
            heights[i] = scale * (heights[i] - factor * along * along);
        }
    }

    private static double[][] scatter(double[][] points, double[] weights) {
        double[][] sum = new double[D + 1][D + 1];
        for (int i = 0; i < points.length; i++) {
            if (weights[i] == 0) continue;
            for (int r = 0; r <= D; r++)
                for (int c = 0; c <= r; c++) sum[r][c] += weights[i] * points[i][r] * points[i][c];
        }
        for (int r = 0; r <= D; r++) for (int c = 0; c < r; c++) sum[c][r] = sum[r][c];
        return sum;
    }

    private static double[][] inverse(double[][] matrix) {
        return new LUDecomposition(new Array2DRowRealMatrix(matrix, false))
                .getSolver()
                .getInverse()
                .getData();
    }

    // qᵀ X⁻¹ q
    private static void heights(double[][] points, double[][] m, double[] into) {
        for (int i = 0; i < points.length; i++) {
            double x = points[i][0];
            double y = points[i][1];
            double z = points[i][2];
            into[i] = x * (m[0][0] * x + 2 * (m[0][1] * y + m[0][2] * z + m[0][3]))
                    + y * (m[1][1] * y + 2 * (m[1][2] * z + m[1][3]))
                    + z * (m[2][2] * z + 2 * m[2][3])
                    + m[3][3];
        }
    }

    private static Ellipsoid ellipsoid(double[][] points, double[] weights) {
        double[][] scatter = scatter(points, weights);
        double[] centre = {scatter[D][0], scatter[D][1], scatter[D][2]};
        double[][] spread = new double[D][D];
        for (int r = 0; r < D; r++)
            for (int c = 0; c < D; c++) spread[r][c] = D * (scatter[r][c] - centre[r] * centre[c]);
        RealMatrix shape = new Array2DRowRealMatrix(spread, false);
        double reach = reach(points, centre, inverse(spread));
        double[] squares = new EigenDecomposition(shape).getRealEigenvalues();
        Arrays.sort(squares);
        return new Ellipsoid(
                Math.sqrt(squares[2] * reach), Math.sqrt(squares[1] * reach), Math.sqrt(squares[0] * reach));
    }

    private static double reach(double[][] points, double[] centre, double[][] m) {
        double most = 0;
        for (double[] p : points) {
            double sum = 0;
            for (int r = 0; r < D; r++)
                for (int c = 0; c < D; c++) sum += (p[r] - centre[r]) * m[r][c] * (p[c] - centre[c]);
            most = Math.max(most, sum);
        }
        return most;
    }
}
