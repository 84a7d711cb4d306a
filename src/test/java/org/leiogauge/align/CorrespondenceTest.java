// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class CorrespondenceTest {
    private static final Point CENTRE = new Point(20, 20, 20);
    private static final RigidTransform MOTION =
            RigidTransform.of(new Vector(0.05, -0.03, 0.08), CENTRE, new Vector(3, -2, 1.5));
    private static final EchoPlanarShift BENT = new EchoPlanarShift(
            new Vector(0, 1, 0), CENTRE, 30, List.of(1.0, -0.8, 0.5, 0.6, -0.4, 0.3, 0.2, -0.3, 0.1));
    private static final Correspondence RIGID = new Correspondence(MOTION, EchoPlanarShift.none(CENTRE));
    private static final Correspondence DISTORTED = new Correspondence(MOTION, BENT);

    // Oracle: by hand. At (30, 0, 0) mm from the centre x = 1: coefficients of x and x².
    @Test
    void theDisplacementIsItsPolynomial() {
        assertThat(BENT.at(new Point(50, 20, 20))).isCloseTo(1.6, within(1e-12));
        assertThat(BENT.at(new Point(20, 50, 50))).isCloseTo(-0.8 + 0.5 - 0.4 + 0.3 - 0.3, within(1e-12));
    }

    // Oracle: there and back is the same place.
    @Test
    void backUndoesApply() {
        for (Correspondence c : List.of(RIGID, DISTORTED))
            for (double x = 0; x <= 40; x += 8)
                for (double z = 0; z <= 40; z += 8) {
                    Point p = new Point(x, 40 - z, z);
                    assertThat(c.back(c.apply(p)).distance(p)).isLessThan(1e-9);
                }
    }

    // Oracle: a plane's values are known everywhere, and linear interpolation and cubic splines keep planes.
    @Test
    void theMovingImageComesOntoTheFixedGrid() {
        Grid moving = Solids.grid(50, 50, 25, 1, 1, 2);
        Grid fixed = Solids.grid(12, 12, 8, 1.5, 1.5, 3).crop(new org.leiogauge.image.Box(4, 4, 2, 10, 10, 6));
        Volume plane = plane(moving);
        for (Correspondence c : List.of(RIGID, DISTORTED)) {
            Volume there = c.onFixed(plane, fixed, Resampling.Kernel.LINEAR, Workers.SINGLE, Progress.NONE);
            assertThat(there.grid()).isEqualTo(fixed);
            Point q = c.apply(fixed.point(3, 2, 1));
            assertThat((double) there.at(3, 2, 1)).isCloseTo(value(q), within(1e-2));
        }
    }

    // Oracle: the ball at its new place, voxel by voxel. The drawn ball's own surface is off by 0.2 mm in the mean (a
    // quarter of its voxels), which over 1257 mm² of surface is 6 % of the volume.
    @Test
    void aRegionIsCarriedOntoTheMovingGrid() {
        Grid fixed = Solids.grid(50, 50, 50, 0.8, 0.8, 0.8);
        Mask ball = Solids.mask(fixed, Solids.ball(20, 20, 20, 10));
        Grid moving = Solids.grid(45, 45, 30, 1, 1, 1.5);
        Mask rigid = RIGID.ontoMoving(ball, moving, Workers.SINGLE, Progress.NONE);
        Mask expected = Solids.mask(moving, Solids.ball(23, 18, 21.5, 10));
        assertThat(disagreeing(rigid, expected)).isLessThan(expected.count() * 6 / 100);
        Mask bent = DISTORTED.ontoMoving(ball, moving, Workers.SINGLE, Progress.NONE);
        Mask pointwise = Solids.mask(
                moving, (x, y, z) -> DISTORTED.back(new Point(x, y, z)).distance(CENTRE) <= 10);
        assertThat(disagreeing(bent, pointwise)).isLessThan(expected.count() * 6 / 100);
    }

    @Test
    void halfAPolynomialIsRefused() {
        assertThatThrownBy(() -> new EchoPlanarShift(new Vector(0, 1, 0), CENTRE, 30, List.of(1.0, 2.0)))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("none or 9, got 2");
    }

    private static int disagreeing(Mask a, Mask b) {
        int count = 0;
        for (int i = 0; i < a.voxels().length; i++) count += a.voxels()[i] ^ b.voxels()[i];
        return count;
    }

    private static double value(Point p) {
        return 3 * p.x() - 2 * p.y() + 5 * p.z();
    }

    private static Volume plane(Grid grid) {
        float[] voxels = new float[grid.size().voxels()];
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++)
                    voxels[grid.offset(x, y, z)] = (float) value(grid.point(x, y, z));
        return new Volume(grid, voxels);
    }
}
