// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

/**
 * Real orthonormal spherical harmonics Y_lm of a direction, all degrees up to one, in one pass.
 *
 * <p>Y_l0 = N P_l(z), Y_l±m = √2 N P_lm(z) cos or sin mφ, with ∫ Y² dΩ = 1; sine terms at −m. Evaluated from the Cartesian
 * components, (x + iy)^m for the angle about the pole, by the three-term recurrence in the degree.
 *
 * <p>Source: recurrence as in Holmes and Featherstone 2002, doi:10.1007/s00190-002-0216-2, fully normalised.
 */
final class SphericalHarmonics {
    private final int degree;
    // the recurrence's factors, by l, then m
    private final double[][] rise;
    private final double[][] fall;

    SphericalHarmonics(int degree) {
        this.degree = degree;
        rise = new double[degree + 1][];
        fall = new double[degree + 1][];
        for (int l = 0; l <= degree; l++) {
            rise[l] = new double[l + 1];
            fall[l] = new double[l + 1];
            for (int m = 0; m < l; m++) {
                double band = (double) (l - m) * (l + m);
                rise[l][m] = Math.sqrt((2 * l - 1.0) * (2 * l + 1) / band);
                fall[l][m] = Math.sqrt((2 * l + 1.0) * (l - m - 1) * (l + m - 1) / (band * Math.max(1, 2 * l - 3)));
            }
        }
    }

    /** (degree + 1)². */
    int terms() {
        return (degree + 1) * (degree + 1);
    }

    /** Place of Y_lm in a row. */
    static int term(int l, int m) {
        return l * l + l + m;
    }

    /** The terms in a direction of length 1. */
    double[] at(double x, double y, double z) {
        double[] row = new double[terms()];
        double sector = Math.sqrt(1 / (4 * Math.PI));
        double re = 1;
        double im = 0;
        for (int m = 0; m <= degree; m++) {
            double cos = m == 0 ? 1 : Math.sqrt(2) * re;
            double sin = Math.sqrt(2) * im;
            double before = 0;
            double now = sector;
            for (int l = m; l <= degree; l++) {
                if (l > m) {
                    double next = rise[l][m] * z * now - fall[l][m] * before;
                    before = now;
                    now = next;
                }
                row[term(l, m)] = now * cos;
                if (m > 0) row[term(l, -m)] = now * sin;
            }
            double next = re * x - im * y;
            im = re * y + im * x;
            re = next;
            sector *= Math.sqrt((2 * m + 3) / (2.0 * m + 2));
        }
        return row;
    }
}
