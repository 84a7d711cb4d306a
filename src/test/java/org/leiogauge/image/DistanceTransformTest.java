// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.task.Workers;

class DistanceTransformTest {
    @Test
    void agreesWithBruteForceOnRandomRegions() {
        for (int seed = 0; seed < 12; seed++) {
            Grid grid = Solids.grid(13 + seed, 9, 1 + seed % 7, 0.7, 0.9 + 0.1 * seed, 3.3);
            Mask region = Solids.random(grid, seed % 3 == 0 ? 0.01 : 0.3, seed);
            Volume distance = DistanceTransform.toRegion(region, Workers.SINGLE);
            Volume signed = DistanceTransform.signed(region, Workers.SINGLE);
            // Oracle: brute force over all pairs, below; float keeps 7 digits.
            for (int i = 0; i < region.voxels().length; i++) {
                double out = nearest(region, i, 1);
                assertThat((double) distance.voxels()[i]).isCloseTo(out, within(1e-5));
                double in = nearest(region, i, 0);
                assertThat((double) signed.voxels()[i]).isCloseTo(out > 0 ? out : -in, within(1e-5));
            }
        }
    }

    @Test
    void agreesWithSciPyOnAnEllipsoid() {
        Grid grid = Solids.grid(60, 50, 21, 0.9, 1.1, 3);
        Mask region = Solids.mask(grid, (x, y, z) -> sq((x - 27) / 20) + sq((y - 27) / 15) + sq((z - 30) / 24) <= 1);
        // Oracle: SciPy, scipy.ndimage.distance_transform_edt(sampling=...)
        double[] expected = PythonOracle.run(
                "r = ndi.distance_transform_edt(a0 == 0, sampling=(3, 1.1, 0.9))", Solids.asVolume(region));
        float[] found = DistanceTransform.toRegion(region, Workers.SINGLE).voxels();
        for (int i = 0; i < found.length; i++) assertThat((double) found[i]).isCloseTo(expected[i], within(2e-5));
    }

    @Test
    void anEmptyRegionIsInfinitelyFarAway() {
        Grid grid = Solids.grid(4, 3, 2, 1, 1, 1);
        Mask empty = new Mask(grid, new byte[24]);
        assertThat(DistanceTransform.toRegion(empty, Workers.SINGLE).voxels()).containsOnly(Float.POSITIVE_INFINITY);
        assertThat(DistanceTransform.signed(empty, Workers.SINGLE).voxels()).containsOnly(Float.POSITIVE_INFINITY);
        Mask full = Solids.mask(grid, (x, y, z) -> true);
        assertThat(DistanceTransform.signed(full, Workers.SINGLE).voxels()).containsOnly(Float.NEGATIVE_INFINITY);
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        Mask region = Solids.random(Solids.grid(41, 33, 17, 0.7, 0.8, 2.5), 0.02, 5);
        float[] one = DistanceTransform.signed(region, Workers.SINGLE).voxels();
        for (int threads : new int[] {2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(DistanceTransform.signed(region, workers).voxels()).isEqualTo(one);
            }
    }

    private static double nearest(Mask region, int index, int side) {
        Grid grid = region.grid();
        double best = Double.POSITIVE_INFINITY;
        for (int j = 0; j < region.voxels().length; j++)
            if (region.voxels()[j] == side)
                best = Math.min(best, point(grid, index).distance(point(grid, j)));
        return best;
    }

    private static Point point(Grid grid, int i) {
        int x = grid.size().x();
        int y = grid.size().y();
        return grid.point(i % x, i / x % y, i / x / y);
    }

    private static double sq(double v) {
        return v * v;
    }
}
