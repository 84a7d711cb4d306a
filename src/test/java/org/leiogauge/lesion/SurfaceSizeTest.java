// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Mask;
import org.leiogauge.task.Workers;

class SurfaceSizeTest {
    @Test
    void aBallInThickSlicesIsRound() {
        Mask ball = new StarSolid(30, 30, 30).mask(1, 1, 5, 40, new SplittableRandom(4));
        List<LesionValue> values = MarginShape.measure(ball, MarginShape.Settings.standard(), Workers.SINGLE);
        // Oracle: closed form of a ball of 30 mm radius: 60 mm, 1, 1; lines of 1 mm voxels, smoothed: 1 %.
        double[] expected = {60, 1, 1};
        for (int i = 0; i < expected.length; i++)
            assertThat(values.get(i).value().measurement().number().orElseThrow())
                    .isCloseTo(expected[i], within(0.01 * expected[i]));
    }
}
