// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.signal.Enhancement.Maps;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.signal.Enhancement.Settings;
import org.leiogauge.task.Workers;

class EnhancementTest {
    private static final Grid GRID = Solids.grid(40, 40, 12, 1, 1, 2);

    @Test
    void aCurveWithoutNoiseIsDescribedAsCalculatedByHand() {
        Grid one = Solids.grid(1, 1, 1, 1, 1, 1);
        Mask region = Solids.mask(one, (x, y, z) -> true);
        // Given out of order on purpose: sorted by time.
        Maps found = Enhancement.measure(
                voxel(one, 200),
                List.of(
                        new Phase(180, voxel(one, 340)),
                        new Phase(30, voxel(one, 260)),
                        new Phase(90, voxel(one, 400))),
                region,
                5,
                Settings.standard(),
                Workers.SINGLE);
        // Oracle: by hand, E = 30, 100, 70 % at 30, 90, 180 s.
        assertThat(found.relative().get(0).voxels()[0]).isCloseTo(30, within(1e-4f));
        assertThat(found.relative().get(1).voxels()[0]).isCloseTo(100, within(1e-4f));
        assertThat(found.relative().get(2).voxels()[0]).isCloseTo(70, within(1e-4f));
        assertThat(found.timeToPeak().voxels()[0]).isEqualTo(90);
        assertThat(found.washIn().voxels()[0]).isCloseTo(70 / 60f, within(1e-4f));
        assertThat(found.washOut().voxels()[0]).isCloseTo(-30 / 90f, within(1e-4f));
        assertThat(found.nonEnhancing().isEmpty()).isTrue();
    }

    @Test
    void aNonEnhancingPocketIsFoundThroughTheNoise() {
        Mask region = Solids.mask(GRID, Solids.ball(19.5, 19.5, 11, 11));
        Mask pocket = Solids.mask(GRID, Solids.ball(17, 19.5, 11, 6));
        Volume pre = Solids.noise(GRID, 300, 20, 1);
        Phase early = new Phase(30, enhanced(pocket, 90, 2));
        Phase late = new Phase(120, enhanced(pocket, 150, 3));
        Maps found = Enhancement.measure(pre, List.of(early, late), region, 20, Settings.standard(), Workers.SINGLE);
        int wrong = 0;
        int byPercentWrong = 0;
        for (int i = 0; i < region.voxels().length; i++) {
            if (region.voxels()[i] == 0) {
                assertThat(found.relative().get(0).voxels()[i]).isNaN();
                assertThat(found.nonEnhancing().voxels()[i]).isZero();
                continue;
            }
            wrong += found.nonEnhancing().voxels()[i] ^ pocket.voxels()[i];
            byPercentWrong += found.nonEnhancingByPercent().voxels()[i] ^ pocket.voxels()[i];
        }
        // Oracle: the pocket that was put in; voxels at its border share neighbours with the other side.
        assertThat(found.nonEnhancing().count()).isCloseTo(pocket.count(), within(pocket.count() / 10));
        assertThat(wrong).isLessThan(region.count() / 20).isLessThan(byPercentWrong);
    }

    @Test
    void withoutEnhancementAnywhereHardlyAVoxelIsTakenForEnhancing() {
        Mask region = Solids.mask(GRID, (x, y, z) -> true);
        Mask none = Solids.mask(GRID, (x, y, z) -> true);
        Maps found = Enhancement.measure(
                Solids.noise(GRID, 300, 20, 1),
                List.of(new Phase(60, enhanced(none, 0, 2))),
                region,
                20,
                Settings.standard(),
                Workers.SINGLE);
        // Oracle: the test's own level, 0.001 of 19 200 voxels; neighbours are not independent, so within 1/3 to 3
        // times.
        assertThat(region.count() - found.nonEnhancing().count()).isBetween(6, 58);
    }

    @Test
    void twoPhasesAtOneTimeAreRefused() {
        Phase phase = new Phase(60, Solids.noise(GRID, 300, 20, 1));
        Mask region = Solids.mask(GRID, (x, y, z) -> true);
        assertThatThrownBy(() -> Enhancement.measure(
                        phase.image(), List.of(phase, phase), region, 20, Settings.standard(), Workers.SINGLE))
                .hasMessageContaining("phases must differ in time, got two at 60.0 s");
    }

    private static Volume enhanced(Mask not, double rise, long seed) {
        float[] v = Solids.noise(GRID, 300, 20, seed).voxels().clone();
        for (int i = 0; i < v.length; i++) if (not.voxels()[i] == 0) v[i] += (float) rise;
        return new Volume(GRID, v);
    }

    private static Volume voxel(Grid grid, float value) {
        return new Volume(grid, new float[] {value});
    }
}
