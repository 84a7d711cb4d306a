// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import net.imglib2.img.array.ArrayImgs;
import org.junit.jupiter.api.Test;

class GridTest {
    private static final Grid SAGITTAL = new Grid(
            new Size(6, 5, 4),
            new Spacing(0.5, 0.75, 4),
            DirectionCosines.of(new Vector(0, 1, 0), new Vector(0, 0, -1)),
            new Point(-20, -100, 50));

    // Oracle: by hand from PS3.3 C.7.6.2.1.1, equation C.7.6.2.1-1: rows run to the back, columns to the feet.
    @Test
    void aSagittalStackLiesWhereItsCosinesSay() {
        assertThat(SAGITTAL.point(2, 3, 1)).isEqualTo(new Point(-24, -99, 47.75));
        assertThat(SAGITTAL.voxelVolume()).isEqualTo(1.5);
    }

    @Test
    void indexUndoesPointForAnyRotation() {
        SplittableRandom random = new SplittableRandom(1);
        for (int i = 0; i < 50; i++) {
            Vector x = new Vector(random.nextDouble(-1, 1), random.nextDouble(-1, 1), random.nextDouble(-1, 1)).unit();
            Vector y = x.cross(new Vector(random.nextDouble(), random.nextDouble(), -1))
                    .unit();
            Grid grid = new Grid(SAGITTAL.size(), SAGITTAL.spacing(), DirectionCosines.of(x, y), SAGITTAL.origin());
            Index back = grid.index(grid.point(1.25, 3.5, -7));
            assertThat(back.x()).isCloseTo(1.25, within(1e-9));
            assertThat(back.y()).isCloseTo(3.5, within(1e-9));
            assertThat(back.z()).isCloseTo(-7, within(1e-9));
        }
    }

    @Test
    void aVoxelReachesHalfWayToItsNeighbours() {
        assertThat(SAGITTAL.contains(SAGITTAL.point(-0.49, 4.49, 3.49))).isTrue();
        assertThat(SAGITTAL.contains(SAGITTAL.point(-0.51, 0, 0))).isFalse();
        assertThat(SAGITTAL.contains(SAGITTAL.point(0, 0, 3.51))).isFalse();
    }

    @Test
    void aCropKeepsEveryVoxelInItsPlace() {
        float[] voxels = new float[120];
        for (int i = 0; i < 120; i++) voxels[i] = i;
        Volume volume = new Volume(SAGITTAL, voxels);
        Volume part = volume.crop(new Box(1, 2, 1, 4, 3, 2));
        assertThat(part.grid().size()).isEqualTo(new Size(4, 2, 2));
        for (int z = 0; z < 2; z++)
            for (int y = 0; y < 2; y++)
                for (int x = 0; x < 4; x++) {
                    assertThat(part.at(x, y, z)).isEqualTo(volume.at(x + 1, y + 2, z + 1));
                    assertThat(part.grid().point(x, y, z).distance(SAGITTAL.point(x + 1, y + 2, z + 1)))
                            .isLessThan(1e-12);
                }
        assertThatThrownBy(() -> volume.crop(new Box(0, 0, 0, 6, 0, 0))).hasMessageContaining("inside 6 × 5 × 4");
    }

    @Test
    void aMaskKnowsItsBoxAndItsCropMayReachOutside() {
        byte[] voxels = new byte[120];
        voxels[SAGITTAL.offset(2, 1, 3)] = 1;
        voxels[SAGITTAL.offset(4, 3, 2)] = 1;
        Mask mask = new Mask(SAGITTAL, voxels);
        Box box = mask.boundingBox().orElseThrow();
        assertThat(box).isEqualTo(new Box(2, 1, 2, 4, 3, 3));
        Mask wide = mask.crop(box.grow(2, 2, 2));
        assertThat(wide.count()).isEqualTo(2);
        assertThat(wide.has(2, 2, 3)).isTrue();
        assertThat(new Mask(SAGITTAL, new byte[120]).boundingBox()).isEmpty();
        assertThat(mask.volume()).isEqualTo(3);
    }

    @Test
    void anImageComesInAndGoesOutWithAxesXyz() {
        short[] shorts = new short[120];
        for (short i = 0; i < 120; i++) shorts[i] = i;
        Volume volume = Volume.of(SAGITTAL, ArrayImgs.shorts(shorts, 6, 5, 4));
        assertThat(volume.at(5, 4, 3)).isEqualTo(119);
        assertThat(volume.image().getAt(5, 4, 3).get()).isEqualTo(119);
    }

    @Test
    void whatCannotBeAGridIsRefused() {
        assertThatThrownBy(() -> new Spacing(1, Double.NaN, 1)).hasMessageContaining("finite and > 0 mm");
        assertThatThrownBy(() -> new Size(1 << 16, 1 << 16, 1)).hasMessageContaining("fewer than 2³¹");
        assertThatThrownBy(() -> DirectionCosines.of(new Vector(1, 0, 0), new Vector(0.1, 0.995, 0)))
                .hasMessageContaining("right angles");
        assertThatThrownBy(() -> new Mask(SAGITTAL, new byte[119])).hasMessageContaining("must be 120");
    }
}
