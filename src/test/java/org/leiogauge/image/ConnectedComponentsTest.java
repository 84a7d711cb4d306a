// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayDeque;
import org.junit.jupiter.api.Test;

class ConnectedComponentsTest {
    @Test
    void agreesWithFloodFillForEveryNeighbourhood() {
        for (Neighbourhood neighbourhood : Neighbourhood.values())
            for (int seed = 0; seed < 10; seed++) {
                Mask region = Solids.random(Solids.grid(11, 9, 1 + seed % 6, 1, 1, 1), 0.1 + 0.06 * seed, seed);
                // Oracle: brute force, flood fill from each voxel in order, below.
                assertThat(ConnectedComponents.label(region, neighbourhood).labels())
                        .isEqualTo(floodFill(region, neighbourhood));
            }
    }

    @Test
    void agreesWithSciPy() {
        Mask region = Solids.random(Solids.grid(40, 30, 12, 1, 1, 1), 0.25, 77);
        ConnectedComponents.Components found = ConnectedComponents.label(region, Neighbourhood.EDGES);
        // Oracle: SciPy, scipy.ndimage.label with generate_binary_structure(3, 2)
        double[] expected = PythonOracle.run(
                "l, n = ndi.label(a0 > 0, ndi.generate_binary_structure(3, 2))\nr = [n, np.bincount(l.ravel())[1:].max()]",
                Solids.asVolume(region));
        assertThat((double) found.count()).isEqualTo(expected[0]);
        assertThat((double) found.largest().count()).isEqualTo(expected[1]);
    }

    @Test
    void anEmptyRegionHasNoPart() {
        Mask empty = new Mask(Solids.grid(3, 3, 3, 1, 1, 1), new byte[27]);
        ConnectedComponents.Components found = ConnectedComponents.label(empty, Neighbourhood.CORNERS);
        assertThat(found.count()).isZero();
        assertThat(found.largest().isEmpty()).isTrue();
        assertThatThrownBy(() -> found.mask(1)).hasMessageContaining("part must be 1 to 0, got 1");
    }

    private static int[] floodFill(Mask region, Neighbourhood neighbourhood) {
        Size size = region.grid().size();
        int[] labels = new int[size.voxels()];
        int count = 0;
        for (int i = 0; i < labels.length; i++) {
            if (region.voxels()[i] == 0 || labels[i] != 0) continue;
            count++;
            ArrayDeque<Integer> open = new ArrayDeque<>();
            open.add(i);
            labels[i] = count;
            while (!open.isEmpty()) {
                int at = open.remove();
                int x = at % size.x();
                int y = at / size.x() % size.y();
                int z = at / size.x() / size.y();
                for (int dz = -1; dz <= 1; dz++)
                    for (int dy = -1; dy <= 1; dy++)
                        for (int dx = -1; dx <= 1; dx++) {
                            int steps = Math.abs(dx) + Math.abs(dy) + Math.abs(dz);
                            if (steps == 0 || steps > neighbourhood.ordinal() + 1) continue;
                            int nx = x + dx;
                            int ny = y + dy;
                            int nz = z + dz;
                            if (nx < 0 || ny < 0 || nz < 0 || nx >= size.x() || ny >= size.y() || nz >= size.z())
                                continue;
                            int next = region.grid().offset(nx, ny, nz);
                            if (region.voxels()[next] == 0 || labels[next] != 0) continue;
                            labels[next] = count;
                            open.add(next);
                        }
            }
        }
        return labels;
    }
}
