// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.task.Workers;

class MixtureTest {
    private final SeriesSettings t2 = SmallStudy.series(Kind.T2, 120, 24);

    private static double sum(float[] shares) {
        double sum = 0;
        for (float share : shares) sum += share;
        return sum;
    }

    @Test
    void sharesOfAnEllipsoidMakeItsVolume() {
        PhantomSettings settings = SmallStudy.pelvis(ScannerSettings.ideal(), t2);
        Grid grid = t2.grid();
        Mixture mixture = new Mixture(Anatomy.of(settings, Workers.SINGLE), grid, Movement.of(t2), 2);
        double voxels = 0;
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++) {
                mixture.look(y, z);
                voxels += sum(mixture.shares(Tissue.LEIOMYOMA.ordinal()));
            }
        // Oracle: closed form, V = 4/3 π a b c; 12 places in each of 4500 voxels, most of them whole.
        double volume = 4 / 3.0 * Math.PI * 30 * 27 * 28;
        assertThat(voxels * grid.voxelVolume() / volume).isCloseTo(1, within(0.005));
    }

    @Test
    void sharesOfAVoxelMakeOne() {
        // soft edges and two lesions
        PhantomSettings settings = Preset.DEMO.settings().with(ScannerSettings.ideal(), List.of(t2));
        Mixture mixture = new Mixture(
                Anatomy.of(settings, Workers.SINGLE),
                t2.grid(),
                new Movement(Rotation.of(new Vector(3, 2, 9)), new Vector(4, 0, 2)),
                1);
        for (int y = 0; y < 120; y += 7) {
            mixture.look(y, 14);
            for (int x = 0; x < 120; x++) {
                double all = 0;
                for (int t = 0; t < Tissue.count(); t++) all += mixture.shares(t)[x];
                // Oracle: shares of one whole; 6 sums of single precision.
                assertThat(all).isCloseTo(1, within(2e-6));
            }
        }
    }

    @Test
    void myometriumLiesBetweenABulgingLesionAndFat() {
        LesionSettings bulging = new LesionSettings(
                "L1", new Point(20, -30, 30), new Vector(20, 20, 20), 0, Tissue.CYSTIC, null, null, null, 0, null);
        SeriesSettings fine = SmallStudy.series(Kind.T2, 240, 120);
        PhantomSettings settings =
                Preset.ORDINARY.settings().withLesions(List.of(bulging)).with(ScannerSettings.ideal(), List.of(fine));
        Anatomy anatomy = Anatomy.of(settings, Workers.SINGLE);
        Mixture mixture = new Mixture(anatomy, fine.grid(), Movement.of(fine), 2);
        int edge = 0;
        for (int z = 60; z < 100; z += 3)
            for (int y = 60; y < 120; y++) {
                mixture.look(y, z);
                for (int x = 0; x < 240; x++) {
                    float lesion = mixture.shares(Tissue.CYSTIC.ordinal())[x];
                    if (lesion == 0 || lesion > 0.99f) continue;
                    edge++;
                    // Oracle: the cover is 5 mm thick, a voxel 1.7 mm long.
                    assertThat(mixture.shares(Tissue.FAT.ordinal())[x]).isZero();
                }
            }
        assertThat(edge).isGreaterThan(1000);
        // the lesion does bulge into fat
        assertThat(anatomy.tissueAt(20, -48, 30)).isEqualTo((byte) Tissue.FAT.ordinal());
    }
}
