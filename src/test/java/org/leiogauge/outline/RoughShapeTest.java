// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Solids;

class RoughShapeTest {
    private static final Grid GRID = Solids.grid(80, 80, 20, 0.75, 0.75, 3);
    private static final Point MIDDLE = new Point(30, 30, 30);

    @Test
    void volumesMatchTheClosedForms() {
        // Oracle: 4/3 π abc; a voxelised solid of this size is off by less than 3 %.
        Mask ball = RoughShape.ball(GRID, MIDDLE, 40);
        double expected = 4 / 3.0 * Math.PI * 8000;
        assertThat(ball.volume()).isCloseTo(expected, within(0.03 * expected));
        Mask ellipse = RoughShape.ellipse(GRID, MIDDLE, 24, 12, 30);
        double solid = 4 / 3.0 * Math.PI * 24 * 12 * 18;
        assertThat(ellipse.volume()).isCloseTo(solid, within(0.03 * solid));
    }

    @Test
    void anEllipseIsTurnedFromXTowardsY() {
        Mask ellipse = RoughShape.ellipse(GRID, MIDDLE, 20, 5, 90);
        assertThat(ellipse.has(40, 64, 10)).isTrue();
        assertThat(ellipse.has(64, 40, 10)).isFalse();
    }

    @Test
    void placesOutsideAreRefused() {
        assertThatThrownBy(() -> RoughShape.ball(GRID, new Point(-9, 0, 0), 5)).hasMessageContaining("centre must lie");
        assertThatThrownBy(() -> RoughShape.ellipse(GRID, MIDDLE, 0, 5, 0)).hasMessageContaining("semi-axes must be");
    }
}
