// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.task.Workers;

class BorderDepthTest {
    // Oracle: brute force over all voxels outside, one layer around the grid included; the definition, word by word.
    @Test
    void depthsMatchBruteForce() {
        for (long seed = 0; seed < 4; seed++) {
            Grid grid = Solids.grid(9, 8, 6, 0.8, 0.8, 3);
            Mask mask = Solids.random(grid, 0.9, seed);
            float[] depth = BorderDepth.of(mask, Workers.SINGLE);
            for (int z = 0; z < 6; z++)
                for (int y = 0; y < 8; y++)
                    for (int x = 0; x < 9; x++)
                        assertThat((double) depth[grid.offset(x, y, z)])
                                .isCloseTo(mask.has(x, y, z) ? bruteForce(mask, x, y, z) : 0, within(1e-5));
        }
    }

    private static double bruteForce(Mask mask, int x, int y, int z) {
        double least = Double.MAX_VALUE;
        for (int k = -1; k <= 6; k++)
            for (int j = -1; j <= 8; j++)
                for (int i = -1; i <= 9; i++) {
                    boolean beyond = i < 0 || j < 0 || k < 0 || i > 8 || j > 7 || k > 5;
                    if (!beyond && mask.has(i, j, k)) continue;
                    double plane = Math.max(0, 0.8 * Math.hypot(i - x, j - y) - 0.4);
                    double across = 3 * Math.max(0, Math.abs(k - z) - 0.5);
                    least = Math.min(least, Math.hypot(plane, across));
                }
        return least;
    }
}
