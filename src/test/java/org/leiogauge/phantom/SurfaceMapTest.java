// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class SurfaceMapTest {
    private static final Harmonics SMOOTH = Harmonics.random(Map.of(), new Seed(1).draw(0));

    @Test
    void anEllipsoidHasItsRadiiAndNormals() {
        Vector axes = new Vector(30, 22, 40);
        SurfaceMap map = new SurfaceMap(new Surface(axes, 0, SMOOTH, new double[0][]), Workers.SINGLE);
        double[] look = new double[2];
        for (double[] u : Directions.spread(500)) {
            map.look(7 * u[0], 7 * u[1], 7 * u[2], look);
            // Oracle: closed form, r = 1/√(Σ u²/a²), normal n ~ u/a²; the map is bilinear over half a degree.
            double[] n = {u[0] / 900, u[1] / 484, u[2] / 1600};
            double along = u[0] * n[0] + u[1] * n[1] + u[2] * n[2];
            double length = Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
            assertThat(look[0]).isCloseTo(1 / Math.sqrt(along), within(2e-3));
            assertThat(look[1]).isCloseTo(along / length, within(1e-3));
        }
        // Oracle: the longest axis.
        assertThat(map.largestRadius()).isCloseTo(40, within(1e-9));
    }

    @Test
    void aRoughSurfaceIsFollowed() {
        Surface surface = Surface.of(Preset.SARCOMA.settings().lesions().get(0), new Seed(3), 1000);
        SurfaceMap map = new SurfaceMap(surface, Workers.SINGLE);
        double[] look = new double[2];
        for (double[] u : Directions.spread(2000)) {
            map.look(u[0], u[1], u[2], look);
            // Oracle: the surface itself; tongues are 7 degrees wide and a third of the radius high.
            assertThat(look[0]).isCloseTo(surface.radius(u[0], u[1], u[2]), within(0.02));
        }
    }

    @Test
    void aSurfaceThatNearlyClosesIsRefused() {
        LesionSettings rough = new LesionSettings(
                "L1", null, null, 0, null, Map.of(2, 0.3, 3, 0.3, 5, 0.3), Bumps.NONE, Bumps.NONE, 0, null);
        assertThat(org.assertj.core.api.Assertions.catchThrowable(() -> Surface.of(rough, new Seed(1), 0)))
                .hasMessageContaining("roughness must leave the surface at 0.2 or more of the ellipsoid's radius, got");
    }
}
