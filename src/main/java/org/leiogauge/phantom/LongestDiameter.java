// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Comparator;
import java.util.List;
import org.leiogauge.task.Workers;

/**
 * The largest distance between two points of a star-shaped surface, in mm: |R(u) u − R(v) v| over all directions u, v.
 *
 * <p>The farthest pairs of a set of directions are moved along the surface by a pattern search, as long as a step makes
 * them longer; the step is halved down to a micrometre.
 */
final class LongestDiameter {
    private static final int STARTS = 16;
    private static final double FIRST_STEP = 0.05;
    private static final double LAST_STEP = 1e-6;

    private LongestDiameter() {}

    private record Pair(int first, int second, double length) {}

    /** @param radius of the surface in each direction */
    static double of(Surface surface, double[][] directions, double[] radius, Workers workers) {
        List<Pair> farthest = workers.map(directions.length, i -> farthest(directions, radius, i));
        List<Pair> starts = farthest.stream()
                .sorted(Comparator.comparingDouble(Pair::length).reversed())
                .limit(STARTS)
                .toList();
        return workers
                .map(
                        starts.size(),
                        i -> longest(surface, directions[starts.get(i).first], directions[starts.get(i).second]))
                .stream()
                .mapToDouble(Double::doubleValue)
                .max()
                .orElseThrow();
    }

    private static Pair farthest(double[][] u, double[] r, int i) {
        int best = i;
        double length = 0;
        for (int j = 0; j < u.length; j++) {
            double d = distance(u[i], r[i], u[j], r[j]);
            if (d > length) {
                length = d;
                best = j;
            }
        }
        return new Pair(i, best, length);
    }

    private static double longest(Surface surface, double[] from, double[] to) {
        double[][] ends = {from.clone(), to.clone()};
        double best = distance(surface, ends);
        for (double step = FIRST_STEP; step > LAST_STEP; ) {
            double before = best;
            for (int end = 0; end < 2; end++)
                for (int axis = 0; axis < 6; axis++) {
                    double[] held = ends[end];
                    ends[end] = moved(held, axis / 2, axis % 2 == 0 ? step : -step);
                    double length = distance(surface, ends);
                    if (length > best) best = length;
                    else ends[end] = held;
                }
            if (best <= before) step /= 2;
        }
        return best;
    }

    private static double[] moved(double[] u, int axis, double step) {
        double[] v = u.clone();
        v[axis] += step;
        double length = Math.sqrt(v[0] * v[0] + v[1] * v[1] + v[2] * v[2]);
        for (int i = 0; i < 3; i++) v[i] /= length;
        return v;
    }

    private static double distance(Surface surface, double[][] ends) {
        double[] u = ends[0];
        double[] v = ends[1];
        return distance(u, surface.radius(u[0], u[1], u[2]), v, surface.radius(v[0], v[1], v[2]));
    }

    private static double distance(double[] u, double r, double[] v, double s) {
        double x = r * u[0] - s * v[0];
        double y = r * u[1] - s * v[1];
        double z = r * u[2] - s * v[2];
        return Math.sqrt(x * x + y * y + z * z);
    }
}
