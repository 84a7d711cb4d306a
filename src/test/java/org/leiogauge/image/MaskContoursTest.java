// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import org.junit.jupiter.api.Test;

class MaskContoursTest {
    @Test
    void fillingTheLinesGivesTheRegionBack() throws Exception {
        // Oracle: the random regions themselves, full of holes, islands and voxels that touch at corners.
        for (int seed = 0; seed < 20; seed++) {
            Mask mask = Solids.random(Solids.grid(13, 11, 4, 0.7, 0.9, 3), 0.2 + 0.03 * seed, seed);
            Mask filled =
                    ContourFill.fill("test", MaskContours.of(mask), mask.grid()).mask();
            assertThat(filled.voxels()).isEqualTo(mask.voxels());
        }
    }

    @Test
    void aBoxHasFourCorners() {
        // Oracle: by hand; voxels 2 to 4 and 1 to 5 of 1 mm, faces half a voxel beyond their centres.
        Mask box = Solids.mask(Solids.grid(8, 8, 1, 1, 1, 1), (x, y, z) -> x >= 2 && x <= 4 && y >= 1 && y <= 5);
        List<Contour> contours = MaskContours.of(box);
        assertThat(contours).hasSize(1);
        assertThat(contours.get(0).points())
                .containsExactlyInAnyOrder(
                        new Point(1.5, 0.5, 0), new Point(4.5, 0.5, 0), new Point(4.5, 5.5, 0), new Point(1.5, 5.5, 0));
    }

    @Test
    void crossingLinesAreTold() {
        // Oracle: by hand.
        Point a = new Point(0, 0, 3);
        Point b = new Point(4, 0, 3);
        Point c = new Point(4, 4, 3);
        Point d = new Point(0, 4, 3);
        assertThat(SelfCrossing.of(new Contour(List.of(a, b, c, d)))).isFalse();
        assertThat(SelfCrossing.of(new Contour(List.of(a, c, b, d)))).isTrue();
        assertThat(SelfCrossing.of(new Contour(List.of(a, b, c, d, a)))).isFalse();
        for (Contour contour :
                MaskContours.of(Solids.mask(Solids.grid(30, 30, 1, 1, 1, 1), Solids.ball(15, 15, 0, 12))))
            assertThat(SelfCrossing.of(contour)).isFalse();
    }
}
