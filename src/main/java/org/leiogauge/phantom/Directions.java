// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/** Sets of directions on the unit sphere. */
final class Directions {
    private Directions() {}

    /** Spread evenly along a spiral. */
    static double[][] spread(int count) {
        double step = Math.PI * (3 - Math.sqrt(5));
        double[][] directions = new double[count][];
        for (int i = 0; i < count; i++) {
            double z = 1 - (2 * i + 1.0) / count;
            double r = Math.sqrt(1 - z * z);
            directions[i] = new double[] {r * StrictMath.cos(i * step), r * StrictMath.sin(i * step), z};
        }
        return directions;
    }

    /** Nodes and weights of Gauss and Legendre on −1 to 1, by Newton's method. */
    static double[][] gaussLegendre(int n) {
        double[][] rule = new double[n][2];
        for (int i = 0; i < n; i++) {
            double x = StrictMath.cos(Math.PI * (i + 0.75) / (n + 0.5));
            double slope = 1;
            for (int step = 0; step < 8; step++) {
                double before = 1;
                double now = x;
                for (int l = 2; l <= n; l++) {
                    double next = ((2 * l - 1) * x * now - (l - 1) * before) / l;
                    before = now;
                    now = next;
                }
                slope = n * (x * now - before) / (x * x - 1);
                x -= now / slope;
            }
            rule[i][0] = x;
            rule[i][1] = 2 / ((1 - x * x) * slope * slope);
        }
        return rule;
    }
}
