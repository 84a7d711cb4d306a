// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.task.Workers;

/**
 * A surface's radius and steepness on the six faces of a cube, for fast look-up: bilinear between directions less than half a
 * degree apart.
 */
final class SurfaceMap {
    private static final int N = 192;
    private static final int STRIDE = N + 1;

    private final double[][] radius = new double[6][STRIDE * STRIDE];
    private final double[][] cosine = new double[6][STRIDE * STRIDE];
    private final double largest;

    SurfaceMap(Surface surface, Workers workers) {
        workers.forEach(6 * STRIDE, piece -> fill(surface, piece / STRIDE, piece % STRIDE));
        double max = 0;
        for (double[] face : radius) for (double r : face) max = Math.max(max, r);
        largest = max;
    }

    private void fill(Surface surface, int face, int row) {
        for (int i = 0; i < STRIDE; i++) {
            double[] u = direction(face, 2.0 * i / N - 1, 2.0 * row / N - 1);
            double r = surface.radius(u[0], u[1], u[2]);
            radius[face][row * STRIDE + i] = r;
            cosine[face][row * STRIDE + i] = r / Math.hypot(r, surface.slope(u[0], u[1], u[2]));
        }
    }

    private static double[] direction(int face, double s, double t) {
        double sign = (face & 1) == 0 ? 1 : -1;
        double n = 1 / Math.sqrt(1 + s * s + t * t);
        return switch (face >> 1) {
            case 0 -> new double[] {sign * n, s * n, t * n};
            case 1 -> new double[] {s * n, sign * n, t * n};
            default -> new double[] {s * n, t * n, sign * n};
        };
    }

    double largestRadius() {
        return largest;
    }

    /** Writes the radius and the cosine between radius and surface normal, in the direction of a place that is not the centre. */
    void look(double x, double y, double z, double[] target) {
        double ax = Math.abs(x);
        double ay = Math.abs(y);
        double az = Math.abs(z);
        if (ax >= ay && ax >= az) look(x > 0 ? 0 : 1, y / ax, z / ax, target);
        else if (ay >= az) look(y > 0 ? 2 : 3, x / ay, z / ay, target);
        else look(z > 0 ? 4 : 5, x / az, y / az, target);
    }

    private void look(int face, double s, double t, double[] target) {
        double a = (s + 1) * (N / 2.0);
        double b = (t + 1) * (N / 2.0);
        int i = Math.min((int) a, N - 1);
        int j = Math.min((int) b, N - 1);
        a -= i;
        b -= j;
        int at = j * STRIDE + i;
        target[0] = mix(radius[face], at, a, b);
        target[1] = mix(cosine[face], at, a, b);
    }

    private static double mix(double[] v, int at, double a, double b) {
        return (1 - b) * ((1 - a) * v[at] + a * v[at + 1]) + b * ((1 - a) * v[at + STRIDE] + a * v[at + STRIDE + 1]);
    }
}
