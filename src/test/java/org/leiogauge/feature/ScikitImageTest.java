// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Mesh;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.oracle.DebianPython;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** Where the definitions coincide, against scikit-image. */
class ScikitImageTest {
    @Test
    void cooccurrenceOfASliceMatches(@TempDir Path folder) throws IOException {
        Grid grid = Regions.grid(new Size(31, 23, 1), new Spacing(1, 1, 1));
        Volume image = Regions.noise(grid, 8);
        byte[] all = new byte[grid.size().voxels()];
        byte[] levels = new byte[all.length];
        Arrays.fill(all, (byte) 1);
        for (int i = 0; i < all.length; i++) levels[i] = (byte) (image.voxels()[i] + 1);
        Files.write(folder.resolve("levels"), levels);
        // Oracle: scikit-image 0.19, skimage.feature.graycomatrix(distance 1, 4 angles, symmetric), summed.
        List<String> expected = DebianPython.run("skimage", "texture.py", "glcm", folder.resolve("levels"), 31, 23);
        Settings settings = Regions.settings(2, new Settings.Discretise.FixedWidth(1, 0));
        Levels ours = PreparedRegion.of(image, new Mask(grid, all), settings, Workers.SINGLE, Progress.NONE)
                .orElseThrow()
                .levels()
                .orElseThrow();
        CountMatrix matrix = CountMatrix.sum(Direction.IN_PLANE.stream()
                .map(d -> Glcm.of(ours, d, 1, 0, 0).counts())
                .toList());
        assertThat(matrix)
                .hasToString(expected.stream()
                        .collect(Collectors.joining("\n", "", "\n"))
                        .replace(' ', ','));
    }

    @Test
    void meshOfABlobIsAsLargeAndAsFull(@TempDir Path folder) throws IOException {
        Grid grid = Regions.grid(new Size(40, 36, 20), new Spacing(0.9, 0.9, 2.5));
        byte[] inside = new byte[grid.size().voxels()];
        int i = 0;
        for (int z = 0; z < 20; z++)
            for (int y = 0; y < 36; y++)
                for (int x = 0; x < 40; x++, i++) {
                    double r = Math.hypot(Math.hypot((x - 19) / 16.0, (y - 17) / 14.0), (z - 9) / 8.0);
                    if (r <= 0.9 + 0.1 * Math.sin(0.7 * x) * Math.cos(0.6 * y)) inside[i] = 1;
                }
        Files.write(folder.resolve("mask"), inside);
        // Oracle: scikit-image 0.19, marching_cubes at 0.5; its polygons are cut into triangles by another rule: 1 %.
        List<String> expected =
                DebianPython.run("skimage", "texture.py", "mesh", folder.resolve("mask"), 40, 36, 20, 0.9, 0.9, 2.5);
        Mesh mesh = Mesh.of(new Mask(grid, inside));
        double area = Double.parseDouble(expected.get(0));
        double volume = Double.parseDouble(expected.get(1));
        assertThat(mesh.area()).isCloseTo(area, within(0.01 * area));
        assertThat(mesh.volume()).isCloseTo(volume, within(0.002 * volume));
    }
}
