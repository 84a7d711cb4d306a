// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.outline.ReferenceRegion.Settings;

class ReferenceRegionTest {
    private static final Grid GRID = Solids.grid(40, 40, 10, 1, 1, 3);
    private static final Mask BALL = ReferenceRegion.ball(GRID, new Point(19, 20, 13), 7);

    @Test
    void theBallHoldsTheVoxelsWithinItsRadius() {
        // Oracle: brute force over all voxels.
        assertThat(BALL.voxels())
                .isEqualTo(Solids.mask(GRID, Solids.ball(19, 20, 13, 7)).voxels());
        assertThat(ReferenceRegion.ball(GRID, new Point(-50, 0, 0), 3).isEmpty())
                .isTrue();
        assertThat(ReferenceRegion.ball(GRID, new Point(0, 0, 0), 2.1).voxels())
                .isEqualTo(Solids.mask(GRID, Solids.ball(0, 0, 0, 2.1)).voxels());
    }

    @Test
    void anEvenTissueIsAccepted() {
        Accepted found = (Accepted) ReferenceRegion.measure(Solids.noise(GRID, 200, 15, 1), BALL, Settings.standard());
        // Oracle: mean and deviation that were put in, over some 480 voxels.
        assertThat(found.median()).isCloseTo(200, within(3.0));
        assertThat(found.spread()).isCloseTo(15, within(2.5));
        assertThat(found.voxels()).isEqualTo(BALL.count());
    }

    @Test
    void noiseBordersAndSmallRegionsAreRefused() {
        assertThat(refusal(Solids.noise(GRID, 200, 120, 1), BALL)).startsWith("mixed: spread 0.");
        Mask few = ReferenceRegion.ball(GRID, new Point(19, 20, 12), 1.2);
        assertThat(refusal(Solids.noise(GRID, 200, 90, 3), few)).startsWith("too noisy: error 0.");
        float[] half = Solids.noise(GRID, 200, 5, 1).voxels().clone();
        for (int i = 0; i < half.length; i++) if (i % 40 > 19) half[i] += 60;
        assertThat(refusal(new Volume(GRID, half), BALL)).startsWith("inhomogeneous: halves differ by 0.");
        Mask small = ReferenceRegion.ball(GRID, new Point(19, 20, 12), 0.9);
        assertThat(refusal(Solids.noise(GRID, 200, 5, 1), small))
                .isEqualTo("region holds 1 voxels with a value, 5 needed");
        assertThat(refusal(Solids.noise(GRID, -200, 5, 1), BALL)).contains("is not above 0");
    }

    private static String refusal(Volume image, Mask region) {
        return ((Refused) ReferenceRegion.measure(image, region, Settings.standard())).reason();
    }
}
