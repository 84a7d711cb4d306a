// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Map;
import java.util.SplittableRandom;
import org.leiogauge.task.Gaussian;

/**
 * A sum of real orthonormal spherical harmonics, f(u) = Σ a_lm Y_lm(u).
 *
 * <p>Its mean square over all directions is Σ a_lm² / 4π. Evaluated from the Cartesian components of u by the recurrence in
 * the degree, without angles, so that the poles need no care.
 */
final class Harmonics {
    private final int degree;
    private final double[][] cosine;
    private final double[][] sine;

    /** @param cosine a_lm for m ≥ 0, by degree, then m; sine: the same for −m */
    Harmonics(double[][] cosine, double[][] sine) {
        this.degree = cosine.length - 1;
        this.cosine = cosine;
        this.sine = sine;
    }

    /** Random, with the given root mean square per degree exactly. */
    static Harmonics random(Map<Integer, Double> amplitudes, SplittableRandom random) {
        int degree =
                amplitudes.keySet().stream().mapToInt(Integer::intValue).max().orElse(0);
        double[][] cosine = new double[degree + 1][];
        double[][] sine = new double[degree + 1][];
        for (int l = 0; l <= degree; l++) {
            cosine[l] = new double[l + 1];
            sine[l] = new double[l + 1];
            double sum = 0;
            for (int m = 0; m <= l; m++) {
                cosine[l][m] = Gaussian.next(random);
                sine[l][m] = m == 0 ? 0 : Gaussian.next(random);
                sum += cosine[l][m] * cosine[l][m] + sine[l][m] * sine[l][m];
            }
            double scale = amplitudes.getOrDefault(l, 0.0) * Math.sqrt(4 * Math.PI / sum);
            for (int m = 0; m <= l; m++) {
                cosine[l][m] *= scale;
                sine[l][m] *= scale;
            }
        }
        return new Harmonics(cosine, sine);
    }

    /** One zonal term e · P_l(z), as the closed forms of lobulated solids have it. */
    static Harmonics zonal(int l, double e) {
        double[][] cosine = new double[l + 1][];
        double[][] sine = new double[l + 1][];
        for (int i = 0; i <= l; i++) {
            cosine[i] = new double[i + 1];
            sine[i] = new double[i + 1];
        }
        cosine[l][0] = e * Math.sqrt(4 * Math.PI / (2 * l + 1));
        return new Harmonics(cosine, sine);
    }

    /** Value in a direction of length 1. */
    double at(double x, double y, double z) {
        if (degree == 0) return 0;
        double sum = 0;
        double diagonal = Math.sqrt(1 / (4 * Math.PI));
        double re = 1; // of (x + iy)^m
        double im = 0;
        for (int m = 0; m <= degree; m++) {
            if (m > 0) {
                diagonal *= Math.sqrt((2 * m + 1) / (2.0 * m));
                double next = re * x - im * y;
                im = re * y + im * x;
                re = next;
            }
            sum += column(m, z, diagonal, m == 0 ? 1 : Math.sqrt(2) * re, m == 0 ? 0 : Math.sqrt(2) * im);
        }
        return sum;
    }

    // Normalised associated Legendre functions over sinᵐθ, degree m and up.
    private double column(int m, double z, double diagonal, double re, double im) {
        double before = 0;
        double now = diagonal;
        double sum = 0;
        for (int l = m; l <= degree; l++) {
            sum += now * (cosine[l][m] * re + sine[l][m] * im);
            double n = l + 1.0;
            double a = Math.sqrt((4 * n * n - 1) / (n * n - (double) m * m));
            double b = Math.sqrt(((n - 1) * (n - 1) - (double) m * m) / (4 * (n - 1) * (n - 1) - 1));
            double next = a * (z * now - (l == m ? 0 : b * before));
            before = now;
            now = next;
        }
        return sum;
    }
}
