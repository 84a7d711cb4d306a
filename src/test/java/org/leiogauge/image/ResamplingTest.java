// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.ByteBuffer;
import java.nio.ByteOrder;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class ResamplingTest {
    private static final Resampling.Outside BORDER = new Resampling.Outside.Border();

    private static Grid grid(Size size, Spacing spacing) {
        return new Grid(size, spacing, DirectionCosines.AXIAL, new Point(-3, 5, 7));
    }

    private static Volume noise(Grid grid) {
        SplittableRandom random = new SplittableRandom(4);
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = random.nextInt(1000);
        return new Volume(grid, voxels);
    }

    private static Volume onto(Volume image, Grid target, Resampling.Kernel kernel, Resampling.Outside outside) {
        return Resampling.onto(image, target, kernel, outside, Workers.SINGLE, Progress.NONE);
    }

    /** The grid turned about its first voxel by 0.3 about z, so that it is oblique to the other one. */
    private static Grid turned(Grid grid) {
        double c = Math.cos(0.3);
        double s = Math.sin(0.3);
        DirectionCosines directions = DirectionCosines.of(new Vector(c, s, 0), new Vector(-s, c, 0));
        return new Grid(grid.size(), grid.spacing(), directions, grid.origin());
    }

    @Test
    void centredGridOfTheStandardsPhantomHasTheSizesGiven() {
        Grid ct = grid(new Size(204, 201, 60), new Spacing(0.977, 0.977, 3));
        // Oracle: IBSI CT phantom, grid after interpolation in configurations B and C.
        assertThat(Resampling.centredGrid(ct, new Spacing(2, 2, 3)).size()).isEqualTo(new Size(100, 99, 60));
        assertThat(Resampling.centredGrid(ct, new Spacing(2, 2, 2)).size()).isEqualTo(new Size(100, 99, 90));
    }

    @Test
    void centredGridHasTheSameCentre() {
        Grid old = grid(new Size(7, 8, 9), new Spacing(0.9, 1.1, 3));
        Grid fresh = Resampling.centredGrid(old, new Spacing(2, 0.7, 1.3));
        Point centre = fresh.point(
                (fresh.size().x() - 1) / 2.0,
                (fresh.size().y() - 1) / 2.0,
                (fresh.size().z() - 1) / 2.0);
        // Oracle: definition.
        assertThat(centre.distance(old.point(3, 3.5, 4))).isLessThan(1e-9);
    }

    @Test
    void everyKernelGivesBackTheVoxelsOnTheirOwnGrid() {
        Volume image = noise(grid(new Size(9, 8, 7), new Spacing(1, 2, 3)));
        for (Resampling.Kernel kernel : Resampling.Kernel.values()) {
            float[] same = onto(image, image.grid(), kernel, BORDER).voxels();
            for (int i = 0; i < same.length; i++) assertThat(same[i]).isCloseTo(image.voxels()[i], within(1e-3f));
        }
    }

    @Test
    void obliqueLinearKeepsALinearImage() {
        Grid grid = grid(new Size(12, 11, 10), new Spacing(1, 1.5, 2));
        float[] voxels = new float[grid.size().voxels()];
        for (int z = 0; z < 10; z++)
            for (int y = 0; y < 11; y++)
                for (int x = 0; x < 12; x++) voxels[grid.offset(x, y, z)] = 3 * x - 2 * y + 5 * z;
        Grid target = turned(grid);
        Volume out =
                onto(new Volume(grid, voxels), target, Resampling.Kernel.LINEAR, new Resampling.Outside.Value(-99));
        int inside = 0;
        for (int z = 0; z < 10; z++)
            for (int y = 0; y < 11; y++)
                for (int x = 0; x < 12; x++) {
                    Index at = grid.index(target.point(x, y, z));
                    // Oracle: the linear function itself; outside the voxels the value asked for.
                    if (at.x() < -0.51 || at.x() > 11.51)
                        assertThat(out.at(x, y, z)).isEqualTo(-99);
                    if (at.x() < 0 || at.x() > 11 || at.y() < 0 || at.y() > 10) continue;
                    inside++;
                    assertThat((double) out.at(x, y, z)).isCloseTo(3 * at.x() - 2 * at.y() + 5 * at.z(), within(1e-4));
                }
        assertThat(inside).isGreaterThan(500);
    }

    @Test
    void cubicAndLinearMatchSciPy(@TempDir Path folder) throws IOException {
        Volume image = noise(grid(new Size(13, 11, 9), new Spacing(1, 1.5, 2)));
        Grid straight = new Grid(
                new Size(9, 8, 7),
                new Spacing(1.3, 1.7, 2.2),
                DirectionCosines.AXIAL,
                image.grid().point(0.7, 0.4, 0.3));
        Grid oblique = new Grid(
                new Size(5, 5, 5),
                new Spacing(0.8, 0.8, 0.8),
                turned(image.grid()).direction(),
                image.grid().point(6, 2, 3));
        // Reaches over every face: beyond the outermost centres the nearest place between them counts.
        Grid around = new Grid(
                new Size(14, 13, 12),
                new Spacing(1, 1.5, 2),
                turned(image.grid()).direction(),
                image.grid().point(-0.4, -0.3, -0.4));
        write(folder.resolve("voxels"), image.voxels());
        for (Grid target : List.of(straight, oblique, around))
            for (int order : new int[] {1, 3}) {
                write(folder.resolve("points"), image.grid(), target);
                // Oracle: SciPy 1.10, scipy.ndimage.map_coordinates(order, mode="mirror"); in the volume all modes
                // agree.
                List<String> expected = DebianPython.run(
                        "scipy", "resample.py", folder.resolve("voxels"), 13, 11, 9, folder.resolve("points"), order);
                Resampling.Kernel kernel = order == 1 ? Resampling.Kernel.LINEAR : Resampling.Kernel.CUBIC;
                float[] ours = onto(image, target, kernel, BORDER).voxels();
                assertThat(expected).hasSize(ours.length);
                // Tolerance: single precision, on a turned grid of coefficients of a few thousand too.
                double tolerance = target == straight ? 2e-4 : 1e-3;
                for (int i = 0; i < ours.length; i++)
                    assertThat((double) ours[i]).isCloseTo(Double.parseDouble(expected.get(i)), within(tolerance));
            }
    }

    private static void write(Path file, float[] voxels) throws IOException {
        ByteBuffer bytes = ByteBuffer.allocate(4 * voxels.length).order(ByteOrder.LITTLE_ENDIAN);
        for (float voxel : voxels) bytes.putFloat(voxel);
        Files.write(file, bytes.array());
    }

    private static void write(Path file, Grid from, Grid target) throws IOException {
        ByteBuffer bytes = ByteBuffer.allocate(24 * target.size().voxels()).order(ByteOrder.LITTLE_ENDIAN);
        for (int z = 0; z < target.size().z(); z++)
            for (int y = 0; y < target.size().y(); y++)
                for (int x = 0; x < target.size().x(); x++) {
                    Index at = from.index(target.point(x, y, z));
                    bytes.putDouble(clamp(at.x(), from.size().x()));
                    bytes.putDouble(clamp(at.y(), from.size().y()));
                    bytes.putDouble(clamp(at.z(), from.size().z()));
                }
        Files.write(file, bytes.array());
    }

    private static double clamp(double index, int size) {
        return Math.max(0, Math.min(size - 1.0, index));
    }

    @Test
    void aMaskKeepsTiesOfOneHalf() {
        Mask mask = new Mask(grid(new Size(2, 1, 1), new Spacing(1, 1, 1)), new byte[] {1, 0});
        Grid between = new Grid(
                new Size(1, 1, 1),
                new Spacing(1, 1, 1),
                DirectionCosines.AXIAL,
                mask.grid().point(0.5, 0, 0));
        // Oracle: IBSI, a voxel belongs to the region at 0.5 and more.
        assertThat(Resampling.onto(mask, between, Resampling.Kernel.LINEAR, Workers.SINGLE, Progress.NONE)
                        .count())
                .isOne();
    }

    @Test
    void aMaskCannotBeInterpolatedWithACubicSpline() {
        Mask mask = new Mask(grid(new Size(1, 1, 1), new Spacing(1, 1, 1)), new byte[] {1});
        assertThatThrownBy(() ->
                        Resampling.onto(mask, mask.grid(), Resampling.Kernel.CUBIC, Workers.SINGLE, Progress.NONE))
                .hasMessage("kernel of a mask must be nearest or linear, got cubic");
    }

    @Test
    void threadsDoNotChangeAByte() {
        Volume image = noise(grid(new Size(20, 21, 22), new Spacing(1, 2, 3)));
        Grid target = turned(image.grid());
        for (Resampling.Kernel kernel : Resampling.Kernel.values())
            try (Workers three = Workers.of(3)) {
                assertThat(Resampling.onto(image, target, kernel, BORDER, three, Progress.NONE)
                                .voxels())
                        .isEqualTo(onto(image, target, kernel, BORDER).voxels());
            }
    }
}
