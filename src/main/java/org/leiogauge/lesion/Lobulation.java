// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;

/**
 * Bulges of a surface over its own ellipsoid.
 *
 * <p>h(u) = Σ over l ≥ 3 of exp(−l(l+1) σ²/2) Σ_m c_lm Y_lm(u), in mm: the radial distance from the ellipsoid without
 * shift, size and elongation, smoothed on the sphere with a heat kernel of width σ, which rings less than a cut in the
 * degree. A bulge is a local maximum of h whose height over the highest saddle towards a higher one is at least the
 * settings' depth (topological persistence), so that noise makes none; the highest one counts if another does, or if it
 * rises that much over the ellipsoid, h = 0.
 *
 * <p>Depth: the mean, over the bulges, of the height over the saddle that joins them to another bulge; of a lone bulge
 * the height over the ellipsoid.
 *
 * <p>Source: persistence: Edelsbrunner, Letscher and Zomorodian 2002, doi:10.1007/s00454-002-2885-2; heat kernel on the
 * sphere: common practice; its use here: ours.
 *
 * @param count of bulges
 * @param depthMm 0 if there is none
 */
record Lobulation(int count, double depthMm) {
    private static final int LOWEST_DEGREE = 3;

    /** @param sigma width of the heat kernel, as an angle in rad */
    static Lobulation of(RadialShape shape, double sigma, double leastDepthMm) {
        DirectionMesh mesh = DirectionMesh.STANDARD;
        SphericalHarmonics harmonics = new SphericalHarmonics(shape.degree());
        double[] factors = new double[harmonics.terms()];
        for (int l = LOWEST_DEGREE; l <= shape.degree(); l++)
            for (int m = -l; m <= l; m++) {
                int place = SphericalHarmonics.term(l, m);
                factors[place] = shape.term(place) * Math.exp(-0.5 * l * (l + 1) * sigma * sigma);
            }
        double[] height = new double[mesh.count()];
        for (int i = 0; i < height.length; i++) {
            double[] u = mesh.direction(i);
            double[] row = harmonics.at(u[0], u[1], u[2]);
            for (int k = 0; k < row.length; k++) height[i] += factors[k] * row[k];
        }
        return bulges(mesh, height, leastDepthMm);
    }

    // Places join in the order of their height; where two hills meet, the lower one ends.
    static Lobulation bulges(DirectionMesh mesh, double[] height, double leastDepthMm) {
        Integer[] order = new Integer[height.length];
        Arrays.setAll(order, i -> i);
        Arrays.sort(order, (a, b) -> height[a] != height[b] ? Double.compare(height[b], height[a]) : a - b);
        int[] top = new int[height.length];
        Arrays.fill(top, -1);
        double[] saddle = new double[height.length];
        boolean[] joined = new boolean[height.length];
        int count = 0;
        double depth = 0;
        for (int i : order) {
            top[i] = i;
            for (int neighbour : mesh.neighbours(i)) {
                if (top[neighbour] < 0) continue;
                int a = root(top, i);
                int b = root(top, neighbour);
                if (a == b) continue;
                int higher = isAbove(height, a, b) ? a : b;
                int lower = higher == a ? b : a;
                top[lower] = higher;
                if (height[lower] - height[i] < leastDepthMm) continue;
                count++;
                depth += height[lower] - height[i];
                if (!joined[higher]) saddle[higher] = height[i];
                joined[higher] = true;
            }
        }
        int highest = order[0];
        if (count == 0)
            return height[highest] < leastDepthMm ? new Lobulation(0, 0) : new Lobulation(1, height[highest]);
        return new Lobulation(count + 1, (depth + height[highest] - saddle[highest]) / (count + 1));
    }

    private static boolean isAbove(double[] height, int a, int b) {
        return height[a] != height[b] ? height[a] > height[b] : a < b;
    }

    private static int root(int[] top, int i) {
        while (top[i] != i) {
            top[i] = top[top[i]];
            i = top[i];
        }
        return i;
    }
}
