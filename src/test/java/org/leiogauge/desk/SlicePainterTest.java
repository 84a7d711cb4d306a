// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class SlicePainterTest {
    private static final Grid GRID =
            new Grid(new Size(4, 3, 2), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));
    private static final GreyRange RANGE = new GreyRange(100, 200);

    private static Volume volume(Grid grid, double... values) {
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) values[i % values.length];
        return new Volume(grid, voxels);
    }

    private static int[] painted(Volume volume, int z, List<Layer> layers, double opacity) {
        int[] pixels = new int[volume.grid().size().x() * volume.grid().size().y()];
        SlicePainter.paint(volume, z, RANGE, layers, opacity, 1, pixels);
        return pixels;
    }

    @Test
    void greyRunsFromBlackToWhiteAndVoxelsWithoutAValueAreBlack() {
        int[] pixels = painted(volume(GRID, 100, 200, 150, Double.NaN, 0, 1e9), 0, List.of(), 1);
        // Oracle: 255 · (value − low) / (high − low), rounded, by hand.
        assertThat(pixels).startsWith(0x000000, 0xffffff, 0x808080, 0x000000, 0x000000, 0xffffff);
    }

    @Test
    void anotherSliceHasItsOwnVoxels() {
        float[] voxels = new float[24];
        Arrays.fill(voxels, 12, 24, 200);
        Volume two = new Volume(GRID, voxels);
        assertThat(painted(two, 0, List.of(), 1)).containsOnly(0x000000);
        assertThat(painted(two, 1, List.of(), 1)).containsOnly(0xffffff);
    }

    @Test
    void aMapThatCoversWhollyShowsItsOwnColoursAndOneThatCoversNothingNone() {
        Volume image = volume(GRID, 150);
        Layer map = Layer.map("map", volume(GRID, 0, 1, 0.5), 0, 1, "");
        // Oracle: the ends of the published ramp, as its source gives them.
        assertThat(painted(image, 0, List.of(map), 1)).startsWith(0x440154, 0xfde725);
        assertThat(painted(image, 0, List.of(map), 0)).containsOnly(0x808080);
        Layer gaps = Layer.map("gaps", volume(GRID, Double.NaN), 0, 1, "");
        assertThat(painted(image, 0, List.of(gaps), 1)).containsOnly(0x808080);
    }

    @Test
    void halfCoveringIsTheMeanOfBoth() {
        int[] pixels = painted(volume(GRID, 200), 0, List.of(Layer.map("map", volume(GRID, 1), 0, 1, "")), 0.5);
        // Oracle: (255 + 0xfd) / 2, (255 + 0xe7) / 2, (255 + 0x25) / 2, within a step.
        for (int pixel : pixels) {
            assertThat(pixel >> 16 & 255).isCloseTo(254, within(1));
            assertThat(pixel >> 8 & 255).isCloseTo(243, within(1));
            assertThat(pixel & 255).isCloseTo(146, within(1));
        }
    }

    @Test
    void aMapOnAnotherTurnedGridIsLookedUpInPatientSpace() {
        SplittableRandom random = new SplittableRandom(3);
        double c = Math.cos(0.4);
        double s = Math.sin(0.4);
        Grid turned = new Grid(
                new Size(7, 6, 5),
                new Spacing(0.8, 0.9, 1.7),
                DirectionCosines.of(new Vector(c, s, 0), new Vector(-s, c, 0)),
                new Point(0.4, -1.1, -1.3));
        float[] values = new float[turned.size().voxels()];
        for (int i = 0; i < values.length; i++) values[i] = (float) random.nextDouble();
        Layer map = Layer.map("map", new Volume(turned, values), 0, 1, "");
        // Oracle: the resampling that the measurements use, checked against outside libraries in its own test.
        float[] onto = Resampling.onto(
                        map.volume(),
                        GRID,
                        Resampling.Kernel.LINEAR,
                        new Resampling.Outside.Value(Float.NaN),
                        Workers.SINGLE,
                        Progress.NONE)
                .voxels();
        int seen = 0;
        for (int z = 0; z < 2; z++)
            for (int y = 0; y < 3; y++)
                for (int x = 0; x < 4; x++) {
                    double value = SlicePainter.value(map, GRID.point(x, y, z));
                    double expected = onto[GRID.offset(x, y, z)];
                    if (Double.isNaN(expected)) assertThat(value).isNaN();
                    else {
                        assertThat(value).isCloseTo(expected, within(1e-5));
                        seen++;
                    }
                }
        assertThat(seen).isGreaterThan(5);
    }

    @Test
    void everySecondVoxelIsPaintedAsItIsAmongAll() {
        SplittableRandom random = new SplittableRandom(5);
        Grid odd = new Grid(new Size(7, 5, 2), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));
        double[] values = random.doubles(70, 100, 200).toArray();
        List<Layer> layers = List.of(Layer.map("map", volume(odd, 0.1, 0.9, 0.4), 0, 1, ""));
        int[] all = painted(volume(odd, values), 1, layers, 0.5);
        int[] some = new int[4 * 3];
        SlicePainter.paint(volume(odd, values), 1, RANGE, layers, 0.5, 2, some);
        // Oracle: the whole picture, of which every second pixel is taken.
        for (int y = 0; y < 3; y++)
            for (int x = 0; x < 4; x++) assertThat(some[4 * y + x]).isEqualTo(all[7 * 2 * y + 2 * x]);
    }

    @Test
    void partsKeepTheirNamesAndAreNeverMixed() {
        Layer parts = Layer.parts("parts", volume(GRID, 1, 3, Double.NaN), List.of("a", "b", "c"));
        assertThat(parts.words(SlicePainter.value(parts, new Point(0.4, 0, 0)))).isEqualTo("a");
        assertThat(parts.words(SlicePainter.value(parts, new Point(0.6, 0, 0)))).isEqualTo("c");
        assertThat(parts.words(SlicePainter.value(parts, new Point(2, 0, 0)))).isEmpty();
        assertThat(SlicePainter.value(parts, new Point(9, 0, 0))).isNaN();
    }
}
