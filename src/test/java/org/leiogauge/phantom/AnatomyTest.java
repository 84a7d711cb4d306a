// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Workers;

class AnatomyTest {
    private final Anatomy anatomy = Anatomy.of(Preset.ORDINARY.settings(), Workers.SINGLE);

    @Test
    void aPaintedRowIsWhatEachPlaceIs() {
        SplittableRandom random = new SplittableRandom(2);
        byte[] row = new byte[300];
        int different = 0;
        for (int n = 0; n < 200; n++) {
            double[] start = {random.nextDouble(-120, 120), random.nextDouble(-90, 90), random.nextDouble(-60, 80)};
            Vector step = new Vector(random.nextDouble(-1, 1), random.nextDouble(-1, 1), random.nextDouble(-1, 1));
            anatomy.paint(start, step, row, row.length);
            // Oracle: brute force, place by place.
            for (int i = 0; i < row.length; i++)
                if (row[i]
                        != anatomy.tissueAt(start[0] + i * step.x(), start[1] + i * step.y(), start[2] + i * step.z()))
                    different++;
        }
        // a place on a surface to the last digit may fall to either side
        assertThat(different).isLessThanOrEqualTo(2);
    }

    @Test
    void thePelvisHoldsItsOrgans() {
        boolean[] seen = new boolean[Tissue.count()];
        for (double z = -60; z <= 90; z += 3)
            for (double y = -130; y <= 130; y += 3)
                for (double x = -190; x <= 190; x += 3) seen[anatomy.tissueAt(x, y, z)] = true;
        // Oracle: the list of what a pelvis holds; lesions are not among its solids.
        for (Tissue tissue : Tissue.values()) assertThat(seen[tissue.ordinal()]).isEqualTo(!tissue.isOfLesion());
    }

    @Test
    void tissueInTheOrderOfTheUterusFromInsideOut() {
        // Oracle: anatomy; along a line to the left from the cavity.
        assertThat(Tissue.of(anatomy.tissueAt(-16, 4, 9))).isEqualTo(Tissue.ENDOMETRIUM);
        assertThat(Tissue.of(anatomy.tissueAt(-30, 4, 9))).isEqualTo(Tissue.JUNCTIONAL_ZONE);
        assertThat(Tissue.of(anatomy.tissueAt(-42, 4, 9))).isEqualTo(Tissue.MYOMETRIUM);
        assertThat(Tissue.of(anatomy.tissueAt(500, 0, 0))).isEqualTo(Tissue.AIR);
    }

    @Test
    void aClearBallIsOfOneTissueAndClearOfTheLesion() {
        double radius = 7;
        Point ball = anatomy.clearBall(Tissue.MYOMETRIUM, new Point(-40, 4, 12), radius, 1)
                .orElseThrow();
        Lesion lesion = anatomy.lesions().get(0);
        double[] look = new double[2];
        SplittableRandom random = new SplittableRandom(8);
        for (int i = 0; i < 20_000; i++) {
            Vector v = new Vector(random.nextDouble(-1, 1), random.nextDouble(-1, 1), random.nextDouble(-1, 1));
            if (v.length() > 1) continue;
            Point p = ball.plus(v.times(radius));
            // Oracle: Monte Carlo over the ball.
            assertThat(Tissue.of(anatomy.tissueAt(p.x(), p.y(), p.z()))).isEqualTo(Tissue.MYOMETRIUM);
            Vector d = p.minus(lesion.centre());
            assertThat(lesion.depth(d.x(), d.y(), d.z(), look)).isNegative();
        }
    }

    @Test
    void whereThereIsNoRoomThereIsNoBall() {
        assertThat(anatomy.clearBall(Tissue.ENDOMETRIUM, new Point(-16, 4, 9), 30, 0))
                .isEqualTo(Optional.empty());
    }
}
