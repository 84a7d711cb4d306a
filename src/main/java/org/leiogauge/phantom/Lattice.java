// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.RandomField;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Workers;

/** A random field on a cubic lattice about the origin, trilinear between its nodes, so that it is one continuous function. */
final class Lattice {
    private static final Vector[] NO_BOX = {};

    private final int n;
    private final double half;
    private final double spacing;
    private final float[] values;

    Lattice(RandomField field, double halfMm, double spacingMm, Workers workers) {
        n = (int) Math.ceil(2 * halfMm / spacingMm) + 2;
        half = (n - 1) * spacingMm / 2;
        spacing = spacingMm;
        values = new float[n * n * n];
        Vector step = new Vector(spacing, 0, 0);
        workers.forEach(n, k -> {
            double[] row = new double[n];
            for (int j = 0; j < n; j++) {
                field.row(new double[] {-half, j * spacing - half, k * spacing - half}, step, NO_BOX, row, n);
                for (int i = 0; i < n; i++) values[(k * n + j) * n + i] = (float) row[i];
            }
        });
    }

    double at(double x, double y, double z) {
        double a = place(x);
        double b = place(y);
        double c = place(z);
        int i = (int) a;
        int j = (int) b;
        int k = (int) c;
        int at = (k * n + j) * n + i;
        return (1 - c + k) * plane(at, a - i, b - j) + (c - k) * plane(at + n * n, a - i, b - j);
    }

    private double place(double x) {
        return Math.min(Math.max((x + half) / spacing, 0), n - 1.001);
    }

    private double plane(int at, double a, double b) {
        return (1 - b) * ((1 - a) * values[at] + a * values[at + 1])
                + b * ((1 - a) * values[at + n] + a * values[at + n + 1]);
    }
}
