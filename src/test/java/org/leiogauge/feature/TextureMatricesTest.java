// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import net.jqwik.api.ForAll;
import net.jqwik.api.Property;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class TextureMatricesTest {
    private static final Grid BLOCK = Regions.grid(new Size(7, 6, 5), new Spacing(1, 1, 1));
    private static final Settings SETTINGS = Regions.settings(3, new Settings.Discretise.FixedWidth(1, 0));

    private static PreparedRegion region(Volume image, Mask mask) {
        return PreparedRegion.of(image, mask, SETTINGS, Workers.SINGLE, Progress.NONE)
                .orElseThrow();
    }

    private static Mask full() {
        byte[] all = new byte[BLOCK.size().voxels()];
        java.util.Arrays.fill(all, (byte) 1);
        return new Mask(BLOCK, all);
    }

    // Oracle: closed form, twice the pairs that fit into a block: Π (n − |d|) over the axes.
    @Property(tries = 10)
    void pairsOfAFullBlockSumToTheClosedForm(@ForAll long seed) {
        Levels levels = region(Regions.noise(BLOCK, seed), full()).levels().orElseThrow();
        for (Direction d : Direction.ALL) {
            long pairs = (7L - Math.abs(d.dx())) * (6L - Math.abs(d.dy())) * (5L - Math.abs(d.dz()));
            assertThat(Glcm.of(levels, d, 1, 0, 4).counts().total()).isEqualTo(2 * pairs);
        }
    }

    // Oracle: definition; every voxel lies in one run of each direction, in one zone, and has one dependence.
    @Property(tries = 20)
    void runsAndZonesHoldEveryVoxelOnce(@ForAll long seed) {
        PreparedRegion region = region(Regions.noise(BLOCK, seed), Regions.scattered(BLOCK, seed));
        Levels levels = region.levels().orElseThrow();
        long voxels = region.intensity().count();
        for (Direction d : Direction.ALL)
            assertThat(weighted(Glrlm.of(levels, d, 0, levels.size().z() - 1).counts()))
                    .isEqualTo(voxels);
        Zones zones = Zones.of(levels, region.morphological(), 3).get(0);
        assertThat(weighted(zones.sizes())).isEqualTo(voxels);
        assertThat(zones.distances().total()).isEqualTo(zones.sizes().total());
        Neighbours neighbours = Neighbours.of(levels, SETTINGS.texture(), 3).get(0);
        assertThat(neighbours.dependence().counts().total()).isEqualTo(voxels);
    }

    private static long weighted(CountMatrix counts) {
        long sum = 0;
        for (int k = 0; k < counts.size(); k++) sum += counts.count(k) * counts.column(k);
        return sum;
    }

    // Oracle: brute force over all neighbours, below; slices larger than what is compared at once.
    @Property(tries = 6)
    void nearestNeighboursMatchTheSearchOverAllVoxels(@ForAll long seed) {
        Grid grid = Regions.grid(new Size(41, 37, 4), new Spacing(1, 1, 1));
        Levels levels = region(Regions.noise(grid, seed), Regions.scattered(grid, seed))
                .levels()
                .orElseThrow();
        assertNeighbours(
                Neighbours.of(levels, SETTINGS.texture(), 3).get(0),
                levels,
                0,
                levels.size().z() - 1,
                1);
        List<Neighbours> slices = Neighbours.of(levels, SETTINGS.texture(), 2);
        assertThat(slices).hasSize(levels.size().z());
        for (int z = 0; z < slices.size(); z++) assertNeighbours(slices.get(z), levels, z, z, 0);
    }

    private static void assertNeighbours(Neighbours ours, Levels levels, int fromZ, int toZ, int up) {
        CountMatrix.Tally alike = new CountMatrix.Tally(levels.count(), 27);
        int[] counts = new int[levels.count() + 1];
        double[] sums = new double[levels.count() + 1];
        Size size = levels.size();
        for (int z = fromZ; z <= toZ; z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int level = levels.at(x, y, z);
                    if (level == 0) continue;
                    int dependent = 0;
                    int neighbours = -1;
                    double sum = -level;
                    for (int c = z - up; c <= z + up; c++)
                        for (int b = y - 1; b <= y + 1; b++)
                            for (int a = x - 1; a <= x + 1; a++) {
                                boolean isIn = a >= 0 && b >= 0 && c >= 0 && a < size.x() && b < size.y();
                                int near = isIn && c < size.z() ? levels.at(a, b, c) : 0;
                                if (near == level) dependent++;
                                if (near > 0) neighbours++;
                                sum += near;
                            }
                    alike.add(level, dependent);
                    if (neighbours == 0) continue;
                    counts[level]++;
                    sums[level] += Math.abs(level - sum / neighbours);
                }
        assertThat(ours.dependence().counts()).isEqualTo(alike.matrix());
        for (int level = 1; level <= levels.count(); level++) {
            assertThat(ours.tones().count(level)).isEqualTo(counts[level]);
            assertThat(ours.tones().sum(level)).isEqualTo(sums[level]);
        }
    }

    // Oracle: brute force over all pairs of voxels, below.
    @Property(tries = 10)
    void pairsAtDistanceTwoMatchTheSearchOverAllVoxels(@ForAll long seed) {
        Settings.Texture texture = new Settings.Texture(2, 1);
        Volume image = Regions.noise(BLOCK, seed);
        Mask mask = Regions.scattered(BLOCK, seed);
        Settings settings = new Settings(
                3,
                SETTINGS.resegment(),
                SETTINGS.resample(),
                SETTINGS.discretise(),
                SETTINGS.intensityVolume(),
                texture,
                SETTINGS.families());
        Levels levels = PreparedRegion.of(image, mask, settings, Workers.SINGLE, Progress.NONE)
                .orElseThrow()
                .levels()
                .orElseThrow();
        Direction d = new Direction(1, -1, 0);
        CountMatrix.Tally pairs = new CountMatrix.Tally(10, 10);
        CountMatrix.Tally alike = new CountMatrix.Tally(10, 125);
        double[] sums = new double[11];
        for (int z = 0; z < 5; z++)
            for (int y = 0; y < 6; y++)
                for (int x = 0; x < 7; x++) {
                    int level = level(image, mask, x, y, z);
                    if (level == 0) continue;
                    int other = level(image, mask, x + 2 * d.dx(), y + 2 * d.dy(), z + 2 * d.dz());
                    if (other > 0) {
                        pairs.add(level, other);
                        pairs.add(other, level);
                    }
                    int dependent = 0;
                    int neighbours = 0;
                    double sum = 0;
                    for (int c = -2; c <= 2; c++)
                        for (int b = -2; b <= 2; b++)
                            for (int a = -2; a <= 2; a++) {
                                int near = level(image, mask, x + a, y + b, z + c);
                                if (near > 0 && Math.abs(near - level) <= 1) dependent++;
                                if (near == 0 || a == 0 && b == 0 && c == 0) continue;
                                sum += near;
                                neighbours++;
                            }
                    alike.add(level, dependent);
                    if (neighbours > 0) sums[level] += Math.abs(level - sum / neighbours);
                }
        assertThat(Glcm.of(levels, d, 2, 0, levels.size().z() - 1).counts()).isEqualTo(pairs.matrix());
        Neighbours both = Neighbours.of(levels, texture, 3).get(0);
        assertThat(both.dependence().counts()).isEqualTo(alike.matrix());
        for (int i = 1; i <= both.tones().levels(); i++)
            assertThat(both.tones().sum(i)).isCloseTo(sums[i], within(1e-9));
    }

    private static int level(Volume image, Mask mask, int x, int y, int z) {
        boolean isIn = x >= 0 && x < 7 && y >= 0 && y < 6 && z >= 0 && z < 5 && mask.has(x, y, z);
        return isIn ? (int) image.at(x, y, z) + 1 : 0;
    }
}
