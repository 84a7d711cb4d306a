// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.GaussianSmoothing.Settings;
import org.leiogauge.task.Workers;

class GaussianSmoothingTest {
    @Test
    void agreesWithSciPy() {
        Volume image = Solids.noise(Solids.grid(31, 22, 9, 0.9, 1.3, 3), 100, 20, 3);
        // Oracle: SciPy, scipy.ndimage.gaussian_filter(sigma in voxels, mode='nearest'), reach 4; float keeps 7 digits.
        double[] expected = PythonOracle.run(
                "r = ndi.gaussian_filter(a0.astype('f8'), (2 / 3, 2 / 1.3, 2 / 0.9), mode='nearest')", image);
        float[] found =
                GaussianSmoothing.smooth(image, Settings.of(2), Workers.SINGLE).voxels();
        for (int i = 0; i < found.length; i++) assertThat((double) found[i]).isCloseTo(expected[i], within(1e-4));
    }

    @Test
    void keepingBendsAgreesWithSciPy() {
        Volume image = Solids.noise(Solids.grid(31, 22, 9, 0.9, 1.3, 3), 100, 20, 3);
        // Oracle: SciPy, scipy.ndimage.gaussian_filter, put together as 3 G - 3 G² + G³.
        double[] expected = PythonOracle.run(
                "g = lambda v: ndi.gaussian_filter(v, (2 / 3, 2 / 1.3, 2 / 0.9), mode='nearest')\n"
                        + "f = a0.astype('f8'); r = 3 * g(f) - 3 * g(g(f)) + g(g(g(f)))",
                image);
        float[] found = GaussianSmoothing.smoothKeepingBends(image, Settings.of(2), 3, Workers.SINGLE)
                .voxels();
        for (int i = 0; i < found.length; i++) assertThat((double) found[i]).isCloseTo(expected[i], within(1e-3));
        assertThat(GaussianSmoothing.smoothKeepingBends(image, Settings.of(2), 1, Workers.SINGLE)
                        .voxels())
                .isEqualTo(GaussianSmoothing.smooth(image, Settings.of(2), Workers.SINGLE)
                        .voxels());
        assertThatThrownBy(() -> GaussianSmoothing.smoothKeepingBends(image, Settings.of(2), 0, Workers.SINGLE))
                .hasMessageContaining("times must be 1 or more, got 0");
    }

    @Test
    void aParabolaKeepsItsPlaceFromTwiceOn() {
        Grid grid = Solids.grid(41, 3, 3, 1, 1, 1);
        float[] parabola = new float[41 * 9];
        for (int i = 0; i < parabola.length; i++) parabola[i] = (i % 41 - 20) * (i % 41 - 20);
        Settings alongX = new Settings(2, 0, 0, 5);
        // Oracle: a Gaussian raises x² by σ² = 4 everywhere; 1 - (1 - G)² takes that back. Far from the border.
        Volume image = new Volume(grid, parabola);
        assertThat((double)
                        GaussianSmoothing.smooth(image, alongX, Workers.SINGLE).voxels()[20])
                .isCloseTo(4, within(0.01));
        assertThat((double) GaussianSmoothing.smoothKeepingBends(image, alongX, 2, Workers.SINGLE)
                        .voxels()[20])
                .isCloseTo(0, within(0.02));
    }

    @Test
    void insideARegionNothingFromOutsideCounts() {
        Grid grid = Solids.grid(20, 18, 8, 1, 1, 2);
        Mask region = Solids.random(grid, 0.3, 4);
        float[] voxels = Solids.noise(grid, 50, 5, 9).voxels().clone();
        for (int i = 0; i < voxels.length; i++) if (region.voxels()[i] == 0) voxels[i] = i % 2 == 0 ? 1e6f : Float.NaN;
        Volume found =
                GaussianSmoothing.smoothInside(new Volume(grid, voxels), region, Settings.of(1.5), Workers.SINGLE);
        // Oracle: brute force, the weighted mean over the region's voxels in reach, below.
        for (int i = 0; i < voxels.length; i += 7)
            assertThat((double) found.voxels()[i]).isCloseTo(weightedMean(grid, region, voxels, i), within(1e-3));
    }

    @Test
    void aConstantStaysAndNoWidthChangesNothing() {
        Grid grid = Solids.grid(7, 5, 3, 1, 1, 5);
        float[] flat = new float[105];
        java.util.Arrays.fill(flat, 3.5f);
        for (float v : GaussianSmoothing.smooth(new Volume(grid, flat), Settings.of(4), Workers.SINGLE)
                .voxels()) assertThat(v).isCloseTo(3.5f, within(1e-5f));
        Volume noise = Solids.noise(grid, 0, 1, 1);
        assertThat(GaussianSmoothing.smooth(noise, Settings.of(0), Workers.SINGLE)
                        .voxels())
                .isEqualTo(noise.voxels());
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        Volume image = Solids.noise(Solids.grid(33, 21, 15, 1, 1, 2), 100, 20, 6);
        float[] one =
                GaussianSmoothing.smooth(image, Settings.of(3), Workers.SINGLE).voxels();
        for (int threads : new int[] {2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(GaussianSmoothing.smooth(image, Settings.of(3), workers)
                                .voxels())
                        .isEqualTo(one);
            }
    }

    @Test
    void aNegativeWidthIsRefused() {
        assertThatThrownBy(() -> Settings.of(-1)).hasMessageContaining("sigma must be 0 mm or more, got -1.0");
    }

    private static double weightedMean(Grid grid, Mask region, float[] voxels, int i) {
        int nx = grid.size().x();
        int ny = grid.size().y();
        int x = i % nx;
        int y = i / nx % ny;
        int z = i / nx / ny;
        double sum = 0;
        double total = 0;
        for (int dz = -3; dz <= 3; dz++)
            for (int dy = -6; dy <= 6; dy++)
                for (int dx = -6; dx <= 6; dx++) {
                    int px = x + dx;
                    int py = y + dy;
                    int pz = z + dz;
                    if (px < 0
                            || py < 0
                            || pz < 0
                            || px >= nx
                            || py >= ny
                            || pz >= grid.size().z()) continue;
                    int j = grid.offset(px, py, pz);
                    if (region.voxels()[j] == 0) continue;
                    double w = Math.exp(-(dx * dx + dy * dy + 4 * dz * dz) / (2 * 1.5 * 1.5));
                    sum += w * voxels[j];
                    total += w;
                }
        return sum / total;
    }
}
