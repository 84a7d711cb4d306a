// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.phantom.SeriesSettings.Kind;

class DistortionTest {
    private static final int N = 40;
    private final Grid grid = SmallStudy.series(Kind.DWI, N, 4).grid();

    private float[] distorted(float[] fine, java.util.function.IntToDoubleFunction displacementMm) {
        double[][] edges = new double[N + 1][N];
        for (int y = 0; y <= N; y++) java.util.Arrays.fill(edges[y], displacementMm.applyAsDouble(y));
        float[] target = new float[N * N];
        Distortion.apply(grid, edges, fine, target, 0);
        return target;
    }

    private static float[] random(int from, int to) {
        SplittableRandom random = new SplittableRandom(4);
        float[] fine = new float[N * N * Distortion.FINER];
        for (int i = from * N; i < to * N; i++) fine[i] = (float) random.nextDouble();
        return fine;
    }

    @Test
    void nothingMovesWithoutDisplacement() {
        float[] fine = random(0, 80);
        float[] found = distorted(fine, y -> 0);
        // Oracle: the mean of the two finer rows.
        for (int y = 0; y < N; y++)
            for (int x = 0; x < N; x++)
                assertThat((double) found[y * N + x])
                        .isCloseTo((fine[2 * y * N + x] + fine[(2 * y + 1) * N + x]) / 2.0, within(1e-6));
    }

    @Test
    void evenDisplacementMovesTheImage() {
        float[] fine = random(20, 60);
        // The image shows at y what the object has 6 mm further, which is one row.
        float[] found = distorted(fine, y -> grid.spacing().y());
        float[] still = distorted(fine, y -> 0);
        for (int y = 0; y + 1 < N; y++)
            for (int x = 0; x < N; x++)
                assertThat((double) found[y * N + x]).isCloseTo(still[(y + 1) * N + x], within(1e-6));
    }

    @Test
    void squeezedPlacesBrightenByTheSlope() {
        float[] flat = new float[N * N * Distortion.FINER];
        java.util.Arrays.fill(flat, 3);
        // d = 0.2 (y − middle): the slope ∂d/∂y is 0.2.
        float[] found =
                distorted(flat, y -> 0.2 * (y - N / 2.0) * grid.spacing().y());
        // Oracle: closed form, 3 (1 + ∂d/∂y).
        assertThat((double) found[N / 2 * N + 5]).isCloseTo(3.6, within(1e-5));
    }

    @Test
    void whatIsMovedIsNeitherLostNorMade() {
        float[] fine = random(20, 60);
        double before = 0;
        for (float v : fine) before += v / 2;
        double after = 0;
        for (float v : distorted(fine, y -> 9 * Math.sin(y * 0.35))) after += v;
        // Oracle: conservation; 1600 sums of single precision. 9 mm · 0.35 / 6 mm is a slope of 0.5, which does not
        // fold.
        assertThat(after / before).isCloseTo(1, within(1e-6));
    }
}
