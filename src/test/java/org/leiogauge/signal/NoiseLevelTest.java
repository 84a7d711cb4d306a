// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;

class NoiseLevelTest {
    private static final Grid GRID = Solids.grid(60, 60, 10, 1, 1, 3);

    @Test
    void aRampWithAnEdgeLeavesTheNoiseThatWasPutIn() {
        float[] v = Solids.noise(GRID, 0, 17, 3).voxels().clone();
        for (int i = 0; i < v.length; i++) v[i] += i % 60 * 5f + (i % 60 > 30 ? 400 : 0);
        Mask all = Solids.mask(GRID, (x, y, z) -> true);
        // Oracle: the noise that was put in; 33 000 voxels, and 3 % for the edge.
        assertThat(((Measured) NoiseLevel.of(new Volume(GRID, v), all)).value()).isCloseTo(17, within(0.7));
    }

    @Test
    void aThinRegionGivesNoValue() {
        Mask thin = Solids.mask(GRID, (x, y, z) -> x == 20);
        Measurement found = NoiseLevel.of(Solids.noise(GRID, 100, 5, 1), thin);
        assertThat(found).isEqualTo(new Measurement.NotMeasured("only 0 voxels with all neighbours, 25 needed"));
    }
}
