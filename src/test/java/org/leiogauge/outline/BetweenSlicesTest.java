// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.TreeSet;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.ConnectedComponents;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Neighbourhood;
import org.leiogauge.image.Solids;
import org.leiogauge.outline.BetweenSlices.Settings;
import org.leiogauge.task.Workers;

class BetweenSlicesTest {
    private static final Grid GRID = Solids.grid(64, 64, 21, 1, 1, 1);

    @Test
    void aConeIsFoundAgainFromTwoSlices() {
        // Oracle: a cone's section shrinks linearly, as does the signed distance: exact but for half a voxel.
        Mask cone = Solids.mask(GRID, (x, y, z) -> Math.hypot(x - 31.5, y - 31.5) <= 26 - z);
        Mask filled = BetweenSlices.fill(onSlices(cone, 0, 20), new Settings(false), Workers.SINGLE);
        assertThat(filled.volume()).isCloseTo(cone.volume(), within(0.03 * cone.volume()));
        for (int z = 0; z <= 20; z++)
            for (int x = 0; x < 64; x++) {
                double gap = Math.hypot(x - 31.5, 0.5) - (26 - z);
                if (Math.abs(gap) > 1) assertThat(filled.has(x, 32, z)).isEqualTo(gap < 0);
            }
    }

    @Test
    void aBranchingShapeStaysInOnePieceAndAHollowOneStaysHollow() {
        Mask fork = Solids.mask(
                GRID,
                (x, y, z) ->
                        Math.hypot(x - 31.5 - z / 2, y - 31.5) <= 8 || Math.hypot(x - 31.5 + z / 2, y - 31.5) <= 8);
        Mask filled = BetweenSlices.fill(onSlices(fork, 0, 20), new Settings(false), Workers.SINGLE);
        assertThat(ConnectedComponents.label(filled, Neighbourhood.FACES).count())
                .isEqualTo(1);
        assertThat(filled.has(31, 31, 0)).isTrue();
        assertThat(filled.has(31, 31, 19)).isFalse();

        Mask shell = Solids.mask(GRID, (x, y, z) -> Math.abs(Math.hypot(x - 31.5, y - 31.5) - 18 + z / 4) <= 4);
        Mask filledShell = BetweenSlices.fill(onSlices(shell, 0, 10, 20), new Settings(false), Workers.SINGLE);
        for (int z = 0; z <= 20; z++) assertThat(filledShell.has(31, 31, z)).isFalse();
        assertThat(filledShell.volume()).isCloseTo(shell.volume(), within(0.03 * shell.volume()));
    }

    @Test
    void aSlantedTubeWhoseSectionsDoNotOverlapIsFoundAgain() {
        Mask tube = Solids.mask(GRID, (x, y, z) -> Math.hypot(x - 10 - 2 * z, y - 31.5) <= 5);
        Mask filled = BetweenSlices.fill(onSlices(tube, 0, 10, 20), new Settings(false), Workers.SINGLE);
        // Oracle: the tube itself; its centre falls on whole voxels, so that the move is exact.
        assertThat(filled.voxels()).isEqualTo(tube.voxels());
    }

    @Test
    void aBallDrawnOnEveryFourthSliceIsClosedAtItsEnds() {
        Mask ball = Solids.mask(GRID, Solids.ball(31.5, 31.5, 10, 9.5));
        Mask open = BetweenSlices.fill(onSlices(ball, 2, 6, 10, 14, 18), new Settings(false), Workers.SINGLE);
        Mask closed = BetweenSlices.fill(onSlices(ball, 2, 6, 10, 14, 18), Settings.standard(), Workers.SINGLE);
        assertThat(Math.abs(closed.volume() - ball.volume())).isLessThan(Math.abs(open.volume() - ball.volume()));
        // Oracle: volume of the voxelised ball; distances on voxels are off by up to half a voxel of 9.5.
        assertThat(closed.volume()).isCloseTo(ball.volume(), within(0.03 * ball.volume()));
    }

    @Test
    void aBallDrawnOnThreeSlicesHasItsTrueHeightAndFullness() {
        // Oracle: closed form, half of a section's width is √(20² - z²); voxels are off by up to one on either side.
        Grid grid = Solids.grid(64, 64, 12, 1, 1, 4);
        Mask ball = Solids.mask(grid, Solids.ball(31.5, 31.5, 22, 20));
        Mask filled = BetweenSlices.fill(onSlices(ball, 2, 5, 9), Settings.standard(), Workers.SINGLE);
        for (int z = 0; z < 12; z++) {
            double square = 400 - (4.0 * z - 22) * (4.0 * z - 22);
            int width = 0;
            for (int x = 0; x < 64; x++) if (filled.has(x, 31, z)) width++;
            assertThat((double) width)
                    .as("width on slice %d", z)
                    .isCloseTo(2 * Math.sqrt(Math.max(0, square)), within(2.0));
        }
    }

    @Test
    void aCylinderIsAsLongAsItWasDrawn() {
        // Oracle: the closed ends of a lesion shrink; a cylinder's sections do not.
        Mask column = Solids.mask(GRID, (x, y, z) -> Math.hypot(x - 31.5, y - 31.5) <= 8 && z >= 4 && z <= 16);
        Mask filled = BetweenSlices.fill(onSlices(column, 4, 10, 16), Settings.standard(), Workers.SINGLE);
        assertThat(filled.voxels()).isEqualTo(column.voxels());
    }

    @Test
    void anEmptyDrawnSliceEndsTheRegionHalfWay() {
        Mask column = onSlices(Solids.mask(GRID, (x, y, z) -> Math.hypot(x - 31.5, y - 31.5) <= 6), 0);
        Mask filled = BetweenSlices.fill(column, new TreeSet<>(List.of(0, 10)), new Settings(false), Workers.SINGLE);
        assertThat(filled.has(31, 31, 4)).isTrue();
        assertThat(filled.has(31, 31, 5)).isFalse();
    }

    @Test
    void noDrawnSliceIsRefused() {
        Mask empty = new Mask(GRID, new byte[GRID.size().voxels()]);
        assertThatThrownBy(() -> BetweenSlices.fill(empty, Settings.standard(), Workers.SINGLE))
                .hasMessageContaining("drawnSlices must name a slice");
    }

    private static Mask onSlices(Mask mask, Integer... slices) {
        int slice = 64 * 64;
        byte[] voxels = new byte[mask.voxels().length];
        for (int z : slices) System.arraycopy(mask.voxels(), z * slice, voxels, z * slice, slice);
        return new Mask(mask.grid(), voxels);
    }
}
