// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.PythonOracle;
import org.leiogauge.image.Solids;
import org.leiogauge.outline.OutlineAgreement.Agreement;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

class OutlineAgreementTest {
    @Test
    void equalBallsTenMillimetresApart() {
        Grid grid = Solids.grid(140, 110, 110, 0.5, 0.5, 0.5);
        Mask a = Solids.mask(grid, Solids.ball(25, 27, 27, 20));
        Mask b = Solids.mask(grid, Solids.ball(35, 27, 27, 20));
        Agreement found = OutlineAgreement.between(a, b, Workers.SINGLE);
        // Oracle: closed form (4R + d)(2R - d)² / 16R³ with R = 20, d = 10; voxels of 0.5 mm, 0.5 %.
        assertThat(value(found.dice())).isCloseTo(0.6328125, within(0.003));
        assertThat(value(found.jaccard())).isCloseTo(0.462857142857, within(0.003));
        // Oracle: the farthest point of a shifted ball lies d = 10 mm from the other; half a voxel.
        assertThat(value(found.hausdorff())).isCloseTo(10, within(0.25));
    }

    @Test
    void concentricBalls() {
        Grid grid = Solids.grid(101, 101, 101, 0.42, 0.42, 0.42);
        Mask a = Solids.mask(grid, Solids.ball(21, 21, 21, 20));
        Mask b = Solids.mask(grid, Solids.ball(21, 21, 21, 18));
        Agreement found = OutlineAgreement.between(a, b, Workers.SINGLE);
        // Oracle: closed form 2·18³ / (20³ + 18³) and distance 2 everywhere; voxels of 0.42 mm.
        assertThat(value(found.dice())).isCloseTo(0.843262001157, within(0.003));
        assertThat(value(found.meanSurfaceDistance())).isCloseTo(2, within(0.42));
        assertThat(value(found.hausdorff())).isCloseTo(2, within(0.42));
    }

    @Test
    void agreesWithSciPyOnRandomRegions() {
        Grid grid = Solids.grid(30, 26, 9, 0.8, 1.1, 3);
        Mask a = Solids.mask(grid, Solids.ball(11, 13, 12, 9));
        Mask b = Solids.mask(grid, (x, y, z) -> Math.abs(x - 13) < 8 && Math.abs(y - 12) < 7 && z > 4);
        Agreement found = OutlineAgreement.between(a, b, Workers.SINGLE);
        // Oracle: SciPy, binary_erosion, distance_transform_edt and numpy.percentile.
        double[] expected = PythonOracle.run(
                String.join(
                        "\n",
                        "a, b = a0 > 0, a1 > 0",
                        "st = ndi.generate_binary_structure(3, 1)",
                        "ba, bb = a & ~ndi.binary_erosion(a, st), b & ~ndi.binary_erosion(b, st)",
                        "s = (3, 1.1, 0.8)",
                        "da = ndi.distance_transform_edt(~bb, sampling=s)[ba]",
                        "db = ndi.distance_transform_edt(~ba, sampling=s)[bb]",
                        "r = [2 * (a & b).sum() / (a.sum() + b.sum()), (a & b).sum() / (a | b).sum(),",
                        "     max(np.percentile(da, 95), np.percentile(db, 95)), max(da.max(), db.max()),",
                        "     np.concatenate([da, db]).mean()]"),
                Solids.asVolume(a),
                Solids.asVolume(b));
        double[] values = {
            value(found.dice()),
            value(found.jaccard()),
            value(found.hausdorff95()),
            value(found.hausdorff()),
            value(found.meanSurfaceDistance())
        };
        assertThat(values).containsExactly(expected, within(1e-5));
    }

    @Test
    void cornersOfTwoShiftedRectangles() {
        Grid grid = Solids.grid(8, 8, 1, 1, 1, 1);
        Mask a = corners(grid, 0, 0);
        Mask b = corners(grid, 1, 1);
        // Oracle: shared statistics table, HD_rect: rectangles (0,0)-(4,3) and (1,1)-(5,4), corner sets, √2.
        assertThat(value(OutlineAgreement.between(a, b, Workers.SINGLE).hausdorff()))
                .isCloseTo(1.414213562, within(1e-6));
    }

    @Test
    void anEmptyRegionHasNoDistance() {
        Grid grid = Solids.grid(3, 3, 3, 1, 1, 1);
        Mask empty = new Mask(grid, new byte[27]);
        Mask one = Solids.mask(grid, (x, y, z) -> x == 1 && y == 1 && z == 1);
        Agreement found = OutlineAgreement.between(one, empty, Workers.SINGLE);
        assertThat(value(found.dice())).isZero();
        assertThat(found.hausdorff95()).isEqualTo(new Measurement.NotMeasured("a region is empty"));
        assertThat(OutlineAgreement.between(empty, empty, Workers.SINGLE).dice())
                .isEqualTo(new Measurement.NotMeasured("both regions are empty"));
    }

    private static Mask corners(Grid grid, int x0, int y0) {
        return Solids.mask(grid, (x, y, z) -> (x == x0 || x == x0 + 4) && (y == y0 || y == y0 + 3));
    }

    private static double value(Measurement measurement) {
        return ((Measurement.Measured) measurement).value();
    }
}
