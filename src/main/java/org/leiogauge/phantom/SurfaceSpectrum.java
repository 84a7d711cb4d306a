// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/**
 * How strongly a star-shaped surface deviates from its ellipsoid, by degree of the spherical harmonics.
 *
 * <p>R(u) − R_e(u) = Σ a_lm Y_lm(u), R_e the settings' ellipsoid, Y orthonormal; the mean square over all directions of what
 * degree l adds is Σ_m a_lm² / 4π. Coefficients by Gauss-Legendre quadrature in z and an even one in longitude.
 */
final class SurfaceSpectrum {
    /** Degrees that are told apart. */
    static final int DEGREES = 24;
    /** The ellipsoid and the degrees up to this one are the lesion's own smooth shape; what lies beyond is roughness. */
    static final int OWN_SHAPE = 4;

    private static final int RINGS = 120;

    private final double[] meanSquare = new double[DEGREES + 1];
    private double total;

    private SurfaceSpectrum() {}

    static SurfaceSpectrum of(Surface surface) {
        SurfaceSpectrum spectrum = new SurfaceSpectrum();
        double[][] cosine = new double[DEGREES + 1][DEGREES + 1];
        double[][] sine = new double[DEGREES + 1][DEGREES + 1];
        for (double[] node : Directions.gaussLegendre(RINGS)) spectrum.add(surface, node[0], node[1], cosine, sine);
        for (int l = 0; l <= DEGREES; l++)
            for (int m = 0; m <= l; m++)
                spectrum.meanSquare[l] += (cosine[l][m] * cosine[l][m] + sine[l][m] * sine[l][m]) / (4 * Math.PI);
        return spectrum;
    }

    /** Root mean square of what a degree adds to the surface, in mm. */
    double rms(int degree) {
        return Math.sqrt(meanSquare[degree]);
    }

    /** Root mean square of all that lies beyond the lesion's own smooth shape, in mm. */
    double roughness() {
        double rest = total;
        for (int l = 0; l <= OWN_SHAPE; l++) rest -= meanSquare[l];
        return Math.sqrt(Math.max(0, rest));
    }

    private void add(Surface surface, double z, double weight, double[][] cosine, double[][] sine) {
        int count = 2 * RINGS;
        double r = Math.sqrt(1 - z * z);
        double[] c = new double[DEGREES + 1];
        double[] s = new double[DEGREES + 1];
        for (int j = 0; j < count; j++) {
            double phi = 2 * Math.PI * j / count;
            double away = surface.deviation(r * StrictMath.cos(phi), r * StrictMath.sin(phi), z);
            total += away * away * weight / (2 * count);
            for (int m = 0; m <= DEGREES; m++) {
                double angle = 2 * Math.PI * (m * j % count) / count;
                c[m] += away * StrictMath.cos(angle);
                s[m] += away * StrictMath.sin(angle);
            }
        }
        double area = weight * 2 * Math.PI / count;
        for (int m = 0; m <= DEGREES; m++) {
            double[] legendre = legendre(m, z, r);
            double scale = area * (m == 0 ? 1 : Math.sqrt(2));
            for (int l = m; l <= DEGREES; l++) {
                cosine[l][m] += scale * legendre[l] * c[m];
                if (m > 0) sine[l][m] += scale * legendre[l] * s[m];
            }
        }
    }

    // Normalised associated Legendre functions of order m by their recurrence in the degree, as in Harmonics.
    private static double[] legendre(int m, double z, double r) {
        double[] p = new double[DEGREES + 1];
        p[m] = Math.sqrt(1 / (4 * Math.PI));
        for (int i = 1; i <= m; i++) p[m] *= Math.sqrt((2 * i + 1) / (2.0 * i)) * r;
        for (int l = m + 1; l <= DEGREES; l++) {
            double a = Math.sqrt((4.0 * l * l - 1) / (l * l - (double) m * m));
            double b = Math.sqrt(((l - 1.0) * (l - 1) - (double) m * m) / (4.0 * (l - 1) * (l - 1) - 1));
            p[l] = a * (z * p[l - 1] - (l == m + 1 ? 0 : b * p[l - 2]));
        }
        return p;
    }
}
