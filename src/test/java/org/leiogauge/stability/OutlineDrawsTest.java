// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.stream.IntStream;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class OutlineDrawsTest {
    private static final double RADIUS = 14;
    private static final Grid GRID = new Grid(
            new Size(44, 44, 44), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(-21.5, -21.5, -21.5));
    private static final int DRAWS = 200;
    private static final Seed SEED = new Seed(5);

    @Test
    void withoutChangesEveryDrawIsTheOutline() {
        OutlineDraws draws = new OutlineDraws(ball(), new OutlineDraws.Settings(0, 0, 0, 0, 10), Workers.SINGLE);
        assertThat(draws.draw(SEED, 3).voxels()).isEqualTo(ball().voxels());
    }

    // Oracle: closed form; a ball that grows by g has the volume 4/3 π (r + g)³, so the spread of its radius is that of
    // g.
    // Tolerance: three standard errors of a standard deviation from 200 draws, 15 %.
    @Test
    void radiusSpreadsAsTheBorderGrowsAndShrinks() {
        OutlineDraws draws = new OutlineDraws(ball(), new OutlineDraws.Settings(0, 0, 0.8, 0, 10), Workers.SINGLE);
        DescriptiveStatistics radius = new DescriptiveStatistics();
        for (int i = 0; i < DRAWS; i++)
            radius.addValue(Math.cbrt(draws.draw(SEED, i).volume() * 0.75 / Math.PI));
        assertThat(radius.getMean()).isCloseTo(RADIUS, within(0.25));
        assertThat(radius.getStandardDeviation()).isCloseTo(0.8, within(0.12));
    }

    // Oracle: the shift's own standard deviation; tolerance as above.
    @Test
    void centreSpreadsAsTheOutlineIsShifted() {
        OutlineDraws draws = new OutlineDraws(ball(), new OutlineDraws.Settings(1.5, 0, 0, 0, 10), Workers.SINGLE);
        DescriptiveStatistics x = new DescriptiveStatistics();
        DescriptiveStatistics volume = new DescriptiveStatistics();
        for (int i = 0; i < DRAWS; i++) {
            Mask drawn = draws.draw(SEED, i);
            x.addValue(meanX(drawn));
            volume.addValue(drawn.volume());
        }
        assertThat(x.getMean()).isCloseTo(0, within(0.3));
        assertThat(x.getStandardDeviation()).isCloseTo(1.5, within(0.22));
        assertThat(volume.getStandardDeviation() / volume.getMean()).isLessThan(0.01);
    }

    // Oracle: a turn of a box about its centre keeps its volume and moves its far corner by angle times distance.
    @Test
    void turningKeepsTheVolume() {
        Mask box = new Mask(GRID, voxels((x, y, z) -> Math.abs(x) < 16 && Math.abs(y) < 6 && Math.abs(z) < 6));
        OutlineDraws draws = new OutlineDraws(box, new OutlineDraws.Settings(0, 5, 0, 0, 10), Workers.SINGLE);
        boolean moved = false;
        for (int i = 0; i < 20; i++) {
            Mask drawn = draws.draw(SEED, i);
            moved |= !java.util.Arrays.equals(drawn.voxels(), box.voxels());
            assertThat(drawn.volume()).isCloseTo(box.volume(), within(0.06 * box.volume()));
        }
        assertThat(moved).isTrue();
    }

    @Test
    void theEdgeWobblesWithoutDriftOfTheVolume() {
        OutlineDraws draws = new OutlineDraws(ball(), new OutlineDraws.Settings(0, 0, 0, 1, 8), Workers.SINGLE);
        double mean = IntStream.range(0, DRAWS)
                .mapToDouble(i -> draws.draw(SEED, i).volume())
                .average()
                .orElseThrow();
        // Oracle: r + e with e of variance 1 has the mean volume 4/3 π (r³ + 3 r).
        double expected = 4 / 3.0 * Math.PI * (Math.pow(RADIUS, 3) + 3 * RADIUS);
        assertThat(mean).isCloseTo(expected, within(0.04 * expected));
    }

    @Test
    void aDrawIsTheSameEachTime() {
        OutlineDraws.Settings standard = OutlineDraws.Settings.standard();
        byte[] first =
                new OutlineDraws(ball(), standard, Workers.SINGLE).draw(SEED, 7).voxels();
        try (Workers three = Workers.of(3)) {
            assertThat(new OutlineDraws(ball(), standard, three).draw(SEED, 7).voxels())
                    .isEqualTo(first);
        }
        assertThat(new OutlineDraws(ball(), standard, Workers.SINGLE)
                        .draw(SEED, 8)
                        .voxels())
                .isNotEqualTo(first);
    }

    @Test
    void aSingleVoxelIsNeverLost() {
        Mask one = new Mask(GRID, voxels((x, y, z) -> x == 0.5 && y == 0.5 && z == 0.5));
        OutlineDraws draws = new OutlineDraws(one, OutlineDraws.Settings.standard(), Workers.SINGLE);
        for (int i = 0; i < 20; i++) assertThat(draws.draw(SEED, i).isEmpty()).isFalse();
    }

    private static Mask ball() {
        return new Mask(GRID, voxels((x, y, z) -> x * x + y * y + z * z <= RADIUS * RADIUS));
    }

    private interface Solid {
        boolean has(double x, double y, double z);
    }

    private static byte[] voxels(Solid solid) {
        byte[] voxels = new byte[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++)
            if (solid.has(i % 44 - 21.5, i / 44 % 44 - 21.5, i / 1936 - 21.5)) voxels[i] = 1;
        return voxels;
    }

    private static double meanX(Mask mask) {
        double sum = 0;
        for (int i = 0; i < mask.voxels().length; i++) sum += mask.voxels()[i] * (i % 44 - 21.5);
        return sum / mask.count();
    }
}
