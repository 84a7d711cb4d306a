// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.SplittableRandom;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;

class CityBlockDistanceTest {
    // Oracle: brute force over all voxels outside the region and those around the grid.
    @Property(tries = 40)
    void matchesTheSearchOverAllVoxels(@ForAll long seed, @ForAll boolean inPlane) {
        Size size = new Size(7, 6, 5);
        SplittableRandom random = new SplittableRandom(seed);
        byte[] voxels = new byte[size.voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (random.nextInt(12) > 0 ? 1 : 0);
        Mask mask = new Mask(new Grid(size, new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0)), voxels);
        short[] steps = CityBlockDistance.of(mask, inPlane);
        for (int z = 0; z < 5; z++)
            for (int y = 0; y < 6; y++)
                for (int x = 0; x < 7; x++)
                    assertThat((int) steps[mask.grid().offset(x, y, z)])
                            .as("at %d, %d, %d", x, y, z)
                            .isEqualTo(search(mask, x, y, z, inPlane));
    }

    private static int search(Mask mask, int x, int y, int z, boolean inPlane) {
        int least = Integer.MAX_VALUE;
        for (int c = inPlane ? z : -1; c <= (inPlane ? z : 5); c++)
            for (int b = -1; b <= 6; b++)
                for (int a = -1; a <= 7; a++) {
                    boolean isIn = a >= 0 && a < 7 && b >= 0 && b < 6 && c >= 0 && c < 5 && mask.has(a, b, c);
                    if (!isIn) least = Math.min(least, Math.abs(a - x) + Math.abs(b - y) + Math.abs(c - z));
                }
        return least;
    }
}
