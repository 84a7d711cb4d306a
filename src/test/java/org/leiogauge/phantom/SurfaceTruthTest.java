// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class SurfaceTruthTest {
    private static final Harmonics SMOOTH = Harmonics.random(Map.of(), new Seed(1).draw(0));

    @Test
    void ellipsoidMatchesTheClosedForms() {
        Surface surface = new Surface(new Vector(30, 30, 50), 0, SMOOTH, new double[0][]);
        SurfaceTruth truth = SurfaceTruth.of(surface, Workers.SINGLE);
        // Oracle: closed forms of the prolate ellipsoid, V = 4/3 π a² c, A = 2π a² (1 + c/(a e) asin e); quadrature is
        // spectral, so only rounding and the numerical slope remain.
        double e = Math.sqrt(1 - 900.0 / 2500);
        assertThat(truth.volume()).isCloseTo(4 / 3.0 * Math.PI * 900 * 50, within(1e-4));
        assertThat(truth.area()).isCloseTo(2 * Math.PI * 900 * (1 + 50 / (30 * e) * Math.asin(e)), within(1e-3));
        // Oracle: the long axis; convex. 4000 directions miss a pole by at most 1.5 degrees.
        assertThat(truth.longestDiameter()).isCloseTo(100, within(0.05));
        assertThat(truth.solidity()).isCloseTo(1, within(2e-3));
    }

    @Test
    void lobulatedSolidHasThePublishedSphericity() {
        Surface surface = new Surface(new Vector(30, 30, 30), 0, Harmonics.zonal(6, 0.2), new double[0][]);
        // Oracle: r = R(1 + e P_l), R 30, e 0.2, l 6: sphericity 0.9454 by one-dimensional quadrature.
        assertThat(SurfaceTruth.of(surface, Workers.SINGLE).sphericity()).isCloseTo(0.9454, within(5e-5));
    }

    @Test
    void roughnessHasTheAmplitudeThatWasAsked() {
        Harmonics harmonics = Harmonics.random(Map.of(9, 0.05), new Seed(7).draw(3));
        double sum = 0;
        double[][] rule = Directions.gaussLegendre(40);
        for (double[] node : rule)
            for (int j = 0; j < 80; j++) {
                double r = Math.sqrt(1 - node[0] * node[0]);
                double phi = 2 * Math.PI * j / 80;
                double value = harmonics.at(r * Math.cos(phi), r * Math.sin(phi), node[0]);
                sum += node[1] * value * value / 160;
            }
        // Oracle: orthonormality of the harmonics; the quadrature is exact for their products.
        assertThat(Math.sqrt(sum)).isCloseTo(0.05, within(1e-12));
    }
}
