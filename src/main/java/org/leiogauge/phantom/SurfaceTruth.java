// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.task.Workers;

/**
 * True size and form of a star-shaped surface, by quadrature over directions.
 *
 * <p>V = ∫ R³/3 dΩ; A = ∫ R √(R² + |∇R|²) dΩ; sphericity π^⅓ (6V)^⅔ / A; longest diameter: {@link LongestDiameter}; hull:
 * its radius in direction u is min h(v) / (u·v), h(v) = max R(u) u·v.
 *
 * @param volume mm³
 * @param area mm²
 * @param longestDiameter mm
 * @param solidity volume over that of the convex hull; accurate to about 10⁻³
 */
record SurfaceTruth(double volume, double area, double sphericity, double longestDiameter, double solidity) {
    private static final int RINGS = 160;
    private static final int SUPPORTS = 4000;

    static SurfaceTruth of(Surface surface, Workers workers) {
        double[][] rule = Directions.gaussLegendre(RINGS);
        double[][] rings = workers.map(RINGS, i -> ring(surface, rule[i][0])).toArray(double[][]::new);
        double volume = 0;
        double area = 0;
        for (int i = 0; i < RINGS; i++) {
            volume += rule[i][1] * rings[i][0];
            area += rule[i][1] * rings[i][1];
        }
        double sphericity = StrictMath.cbrt(Math.PI) * StrictMath.pow(6 * volume, 2 / 3.0) / area;
        return new SurfaceTruth(volume, area, sphericity, 0, 0).withHull(surface, workers);
    }

    private static double[] ring(Surface surface, double z) {
        int count = 2 * RINGS;
        double r = Math.sqrt(1 - z * z);
        double volume = 0;
        double area = 0;
        for (int j = 0; j < count; j++) {
            double phi = 2 * Math.PI * j / count;
            double x = r * StrictMath.cos(phi);
            double y = r * StrictMath.sin(phi);
            double radius = surface.radius(x, y, z);
            volume += radius * radius * radius / 3;
            area += radius * Math.hypot(radius, surface.slope(x, y, z));
        }
        double weight = 2 * Math.PI / count;
        return new double[] {volume * weight, area * weight};
    }

    private SurfaceTruth withHull(Surface surface, Workers workers) {
        double[][] u = Directions.spread(SUPPORTS);
        double[] r = new double[SUPPORTS];
        for (int i = 0; i < SUPPORTS; i++) r[i] = surface.radius(u[i][0], u[i][1], u[i][2]);
        double[] support = workers.map(SUPPORTS, v -> support(u, r, u[v])).stream()
                .mapToDouble(Double::doubleValue)
                .toArray();
        double diameter = LongestDiameter.of(surface, u, r, workers);
        double[] ratio = workers.map(SUPPORTS, i -> hullVolume(u, support, u[i]) / (r[i] * r[i] * r[i])).stream()
                .mapToDouble(Double::doubleValue)
                .toArray();
        double hull = 0;
        double own = 0;
        for (int i = 0; i < SUPPORTS; i++) {
            hull += ratio[i] * r[i] * r[i] * r[i];
            own += r[i] * r[i] * r[i];
        }
        return new SurfaceTruth(volume, area, sphericity, diameter, Math.min(1, own / hull));
    }

    private static double support(double[][] u, double[] r, double[] v) {
        double ahead = 0;
        for (int i = 0; i < r.length; i++) ahead = Math.max(ahead, r[i] * dot(u[i], v));
        return ahead;
    }

    private static double hullVolume(double[][] v, double[] support, double[] u) {
        double least = Double.MAX_VALUE;
        for (int j = 0; j < v.length; j++) {
            double along = dot(v[j], u);
            if (along > 0.05) least = Math.min(least, support[j] / along);
        }
        return least * least * least;
    }

    private static double dot(double[] a, double[] b) {
        return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    }
}
