// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

/**
 * An ellipsoid by its semi-axes, in mm.
 *
 * @param a the longest
 * @param c the shortest
 */
record Ellipsoid(double a, double b, double c) {
    private static final int ORDER = 20;

    /** 4/3 π a b c, in mm³. */
    double volume() {
        return 4.0 / 3 * Math.PI * a * b * c;
    }

    /**
     * 4 π a b Σ (αβ)ᵛ / (1 − 4ν²) Pᵥ((α² + β²) / 2αβ) for ν from 0 to 20, in mm², with α² = 1 − b²/a², β² = 1 − c²/a² and P the
     * Legendre polynomials.
     *
     * <p>The standard takes both α and β against the longest axis, and its reference values need that. The true area has
     * 1 − c²/a² and 1 − c²/b² in their place: it is the same for a ball and larger for all else, by 14 % for axes of
     * 3 : 2 : 2. The feature therefore compares regions; it doesn't measure an area.
     *
     * <p>Source: IBSI reference manual, area density – approximate enclosing ellipsoid (RDD2); Maas 1994.
     */
    double area() {
        double alphaSquare = 1 - b * b / (a * a);
        double betaSquare = 1 - c * c / (a * a);
        // The recurrence of (αβ)ᵛ Pᵥ needs no division by αβ, which is 0 for a ball.
        double middle = (alphaSquare + betaSquare) / 2;
        double before = 0;
        double polynomial = 1;
        double sum = 0;
        for (int v = 0; v <= ORDER; v++) {
            sum += polynomial / (1 - 4.0 * v * v);
            double next = ((2 * v + 1) * middle * polynomial - v * alphaSquare * betaSquare * before) / (v + 1);
            before = polynomial;
            polynomial = next;
        }
        return 4 * Math.PI * a * b * sum;
    }
}
