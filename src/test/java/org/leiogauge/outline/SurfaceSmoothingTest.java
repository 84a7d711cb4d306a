// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

class SurfaceSmoothingTest {
    private static final Grid GRID = Solids.grid(64, 64, 28, 0.9, 0.9, 2);

    // Oracle for all: the analytic solid.

    @Test
    void aBallKeepsItsSize() {
        for (double radius : new double[] {2, 3, 4.5, 6, 8, 14, 20}) {
            Mask ball = lobed(radius, 0);
            Mask smooth = smooth(ball, ball.voxels());
            assertThat(smooth.volume() / ball.volume()).isCloseTo(1, within(radius < 8 ? 0.05 : 0.01));
        }
    }

    @Test
    void aBorderFrayedByNoiseComesCloserToTheSolid() {
        for (double lobes : new double[] {0, 1.5}) {
            Mask solid = lobed(18, lobes);
            byte[] frayed = frayed(solid);
            double before = dice(new Mask(GRID, frayed), solid);
            double after = dice(smooth(solid, frayed), solid);
            assertThat(1 - after).isLessThan(0.6 * (1 - before));
        }
    }

    @Test
    void whatIsSettledStays() {
        Mask ball = lobed(14, 0);
        byte[] inside = ball.voxels().clone();
        byte[] add = new byte[inside.length];
        byte[] remove = new byte[inside.length];
        int spike = GRID.offset(32, 56, 14);
        int notch = GRID.offset(32, 45, 14);
        add[spike] = 1;
        inside[spike] = 1;
        remove[notch] = 1;
        inside[notch] = 0;
        Volume image = new Volume(GRID, new float[inside.length]);
        Band band = Band.around(
                new Rough(List.of(image), ball, new Mask(GRID, add), new Mask(GRID, remove)), 6, 8, 0, Workers.SINGLE);
        Mask smooth = band.onto(ball, SurfaceSmoothing.smooth(band, cropped(band, inside), Workers.SINGLE));
        assertThat(smooth.voxels()[spike]).isEqualTo((byte) 1);
        assertThat(smooth.voxels()[notch]).isEqualTo((byte) 0);
    }

    private static Mask lobed(double radius, double lobesMm) {
        return Solids.mask(GRID, (x, y, z) -> {
            double px = x - 28.8;
            double py = y - 28.8;
            double pz = z - 27;
            double r = Math.sqrt(px * px + py * py + pz * pz);
            double bulge = lobesMm * Math.sin(4 * Math.atan2(py, px)) * (1 - pz * pz / (r * r + 1e-9));
            return r <= radius + bulge;
        });
    }

    // Each voxel beside the border lies on the other side with a chance of one in four.
    private static byte[] frayed(Mask solid) {
        SplittableRandom random = new SplittableRandom(5);
        byte[] frayed = solid.voxels().clone();
        float[] distance = Band.toBorder(solid, Workers.SINGLE);
        for (int i = 0; i < frayed.length; i++)
            if (Math.abs(distance[i]) < 0.9 && random.nextInt(4) == 0) frayed[i] ^= 1;
        return frayed;
    }

    private static Mask smooth(Mask drawn, byte[] inside) {
        Volume image = new Volume(GRID, new float[inside.length]);
        Band band = Band.around(Rough.of(List.of(image), drawn), 6, 8, 0, Workers.SINGLE);
        return band.onto(drawn, SurfaceSmoothing.smooth(band, cropped(band, inside), Workers.SINGLE));
    }

    private static byte[] cropped(Band band, byte[] inside) {
        return new Mask(GRID, inside).crop(band.box).voxels();
    }

    private static double dice(Mask mask, Mask truth) {
        return OutlineAgreement.between(mask, truth, Workers.SINGLE)
                .dice()
                .number()
                .orElseThrow();
    }
}
