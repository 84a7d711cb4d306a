// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Solids;

class SphericalHarmonicsTest {
    // Oracle: addition theorem, Σ_m Y_lm(u) Y_lm(v) = (2l + 1) / 4π · P_l(u·v), for any two directions.
    @Test
    void theAdditionTheoremHolds() {
        SphericalHarmonics harmonics = new SphericalHarmonics(20);
        SplittableRandom random = new SplittableRandom(1);
        for (int trial = 0; trial < 50; trial++) {
            double[] u = direction(random);
            double[] v = direction(random);
            double[] a = harmonics.at(u[0], u[1], u[2]);
            double[] b = harmonics.at(v[0], v[1], v[2]);
            for (int l = 0; l <= 20; l++) {
                double sum = 0;
                for (int m = -l; m <= l; m++)
                    sum += a[SphericalHarmonics.term(l, m)] * b[SphericalHarmonics.term(l, m)];
                double expected =
                        (2 * l + 1) / (4 * Math.PI) * StarSolid.legendre(l, u[0] * v[0] + u[1] * v[1] + u[2] * v[2]);
                assertThat(sum).isCloseTo(expected, within(1e-10));
            }
        }
    }

    private static double[] direction(SplittableRandom random) {
        double[] u = {Solids.normal(random), Solids.normal(random), Solids.normal(random)};
        double n = Math.sqrt(u[0] * u[0] + u[1] * u[1] + u[2] * u[2]);
        return new double[] {u[0] / n, u[1] / n, u[2] / n};
    }

    // Oracle: counted, an icosahedron cut 4 times has 10 · 4⁴ + 2 corners, 12 of them with 5 neighbours, the others 6.
    @Test
    void theDirectionsAreThoseOfTheCutIcosahedron() {
        DirectionMesh mesh = DirectionMesh.STANDARD;
        assertThat(mesh.count()).isEqualTo(2562);
        int five = 0;
        for (int i = 0; i < mesh.count(); i++) {
            assertThat(mesh.neighbours(i).length).isBetween(5, 6);
            if (mesh.neighbours(i).length == 5) five++;
        }
        assertThat(five).isEqualTo(12);
    }
}
