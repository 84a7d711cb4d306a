// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class ShapeTruthTest {
    private static final Harmonics SMOOTH = Harmonics.random(Map.of(), new Seed(1).draw(0));

    @Test
    void ellipsoidHasItsClosedForms() {
        List<TruthRow> rows = ShapeTruth.of(PlainScene.lesion(PlainScene.ellipsoid(50, 40, 30)));
        // Oracle: closed forms, V = 4/3 π abc; sphericity 0.9656 from Carlson's form of the area, SciPy 1.11.4; the
        // long
        // axis; a smooth surface, sharp, without bumps.
        assertThat(PlainScene.value(rows, "volume")).isCloseTo(80_000 * Math.PI, within(1e-3));
        assertThat(PlainScene.value(rows, "sphericity")).isCloseTo(0.9656, within(5e-5));
        assertThat(PlainScene.value(rows, "longest diameter")).isCloseTo(100, within(1e-6));
        assertThat(PlainScene.value(rows, "solidity")).isCloseTo(1, within(2e-3));
        assertThat(PlainScene.value(rows, "margin roughness")).isLessThan(1e-9);
        assertThat(PlainScene.value(rows, "margin sharpness")).isZero();
        assertThat(PlainScene.value(rows, "lobulation count")).isZero();
    }

    @Test
    void longestDiameterOfATurnedEllipsoidIsItsLongAxis() {
        // Oracle: the long axis, in a direction that none of the starting ones has.
        Surface surface = new Surface(new Vector(21, 47, 22), 33.3, SMOOTH, new double[0][]);
        assertThat(SurfaceTruth.of(surface, Workers.SINGLE).longestDiameter()).isCloseTo(94, within(1e-6));
    }

    @Test
    void aWaveOnABallHasItsAmplitudeAtItsDegreeAlone() {
        Surface surface = new Surface(new Vector(30, 30, 30), 0, Harmonics.zonal(6, 0.2), new double[0][]);
        SurfaceSpectrum spectrum = SurfaceSpectrum.of(surface);
        // Oracle: mean of P_l² over the sphere is 1 / (2l + 1): R e / √13.
        assertThat(spectrum.rms(6)).isCloseTo(30 * 0.2 / Math.sqrt(13), within(1e-9));
        assertThat(spectrum.roughness()).isCloseTo(30 * 0.2 / Math.sqrt(13), within(1e-9));
        for (int l = 0; l <= SurfaceSpectrum.DEGREES; l++)
            if (l != 6) assertThat(spectrum.rms(l)).as("degree %d", l).isLessThan(1e-6);
    }

    @Test
    void roughnessIsTheSquareSumOfTheDegreesBeyondTheSmoothShape() {
        Map<Integer, Double> amplitudes = Map.of(3, 0.05, 7, 0.03, 20, 0.02);
        Surface surface = new Surface(
                new Vector(20, 20, 20), 0, Harmonics.random(amplitudes, new Seed(4).draw(1)), new double[0][]);
        SurfaceSpectrum spectrum = SurfaceSpectrum.of(surface);
        // Oracle: the amplitudes that were asked, times the radius; degree 3 belongs to the smooth shape.
        assertThat(spectrum.rms(3)).isCloseTo(1, within(1e-9));
        assertThat(spectrum.rms(20)).isCloseTo(0.4, within(1e-9));
        assertThat(spectrum.roughness()).isCloseTo(Math.sqrt(0.36 + 0.16), within(1e-9));
    }

    @Test
    void bumpsAndBlurAreAsSet() {
        LesionSettings settings = new LesionSettings(
                "L1",
                new Point(0, 0, 0),
                new Vector(20, 20, 20),
                0,
                Tissue.CELLULAR,
                Map.of(),
                new Bumps(7, 0.1, 15),
                new Bumps(3, 0, 8),
                2.5,
                List.of());
        List<TruthRow> rows = ShapeTruth.of(PlainScene.lesion(settings));
        // Oracle: the settings; bumps without height are none.
        assertThat(PlainScene.value(rows, "lobulation count")).isEqualTo(7);
        assertThat(PlainScene.value(rows, "tongue count")).isZero();
        assertThat(PlainScene.value(rows, "margin sharpness")).isEqualTo(2.5);
    }
}
