// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;

class RigidTransformTest {
    private static final double ROUNDING = 1e-12;
    private final SplittableRandom random = new SplittableRandom(7);

    // Oracle: by hand. A quarter turn about z through (1, 0, 0) takes (2, 0, 5) to (1, 1, 5), then the shift adds.
    @Test
    void aQuarterTurnAboutACentreTakesAPointWhereTheHandDoes() {
        RigidTransform t = RigidTransform.of(new Vector(0, 0, Math.PI / 2), new Point(1, 0, 0), new Vector(10, 20, 30));
        assertThat(t.apply(new Point(2, 0, 5)).distance(new Point(11, 21, 35))).isLessThan(ROUNDING);
        assertThat(t.turnDegrees()).isCloseTo(90, within(1e-9));
    }

    // Oracle: definition of inverse and of composition.
    @Test
    void inverseAndCompositionHoldForAnyTransform() {
        for (int i = 0; i < 50; i++) {
            RigidTransform a = any();
            RigidTransform b = any();
            Point p = new Point(r(90), r(90), r(90));
            assertThat(a.inverse().apply(a.apply(p)).distance(p)).isLessThan(1e-11);
            assertThat(a.after(b).apply(p).distance(a.apply(b.apply(p)))).isLessThan(1e-11);
            assertThat(a.after(a.inverse()).turnDegrees()).isLessThan(1e-6);
        }
    }

    // Oracle: the turn that went in.
    @Test
    void theAngleIsTheLengthOfTheTurn() {
        RigidTransform t = RigidTransform.of(new Vector(0.1, -0.2, 0.15), new Point(3, 4, 5), new Vector(0, 0, 0));
        assertThat(t.turnDegrees()).isCloseTo(Math.toDegrees(Math.sqrt(0.01 + 0.04 + 0.0225)), within(1e-9));
    }

    // Oracle: each voxel's point, moved one by one.
    @Test
    void aMovedGridHasItsVoxelsWhereTheTransformTakesThem() {
        Grid grid = new Grid(
                new Size(5, 6, 7),
                new Spacing(0.7, 0.8, 4),
                DirectionCosines.of(new Vector(0, 1, 0), new Vector(0, 0, -1)),
                new Point(10, -20, 30));
        RigidTransform t = any();
        assertThat(t.apply(grid).point(4, 5, 6).distance(t.apply(grid.point(4, 5, 6))))
                .isLessThan(1e-11);
        assertThat(t.apply(grid).point(0, 3, 1).distance(t.apply(grid.point(0, 3, 1))))
                .isLessThan(1e-11);
    }

    @Test
    void aMirrorIsNoMovement() {
        DirectionCosines mirror = new DirectionCosines(new Vector(-1, 0, 0), new Vector(0, 1, 0), new Vector(0, 0, 1));
        assertThatThrownBy(() -> new RigidTransform(mirror, new Point(0, 0, 0), new Vector(0, 0, 0)))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("right-handed");
    }

    private RigidTransform any() {
        return RigidTransform.of(
                new Vector(r(1), r(1), r(1)), new Point(r(50), r(50), r(50)), new Vector(r(20), r(20), r(20)));
    }

    private double r(double reach) {
        return reach * (2 * random.nextDouble() - 1);
    }
}
