// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Rectangle;
import java.util.List;
import org.junit.jupiter.api.Test;

class ImageBoardTest {
    @Test
    void placesFillTheRoomWithoutLyingOverEachOther() {
        for (int count = 1; count <= 9; count++)
            for (int[] room : new int[][] {{1100, 900}, {2600, 1900}, {420, 700}, {301, 199}}) {
                List<Rectangle> places = ImageBoard.places(count, room[0], room[1], 2);
                assertThat(places).hasSize(count);
                Rectangle all = new Rectangle(0, 0, room[0], room[1]);
                for (int i = 0; i < count; i++) {
                    assertThat(all.contains(places.get(i)))
                            .as(count + ": " + places)
                            .isTrue();
                    for (int j = 0; j < i; j++)
                        assertThat(places.get(i).intersects(places.get(j)))
                                .as(count + ": " + places)
                                .isFalse();
                }
            }
    }

    @Test
    void theFirstSeriesHasMostRoom() {
        List<Rectangle> places = ImageBoard.places(7, 1300, 1000, 2);
        int lead = places.get(0).width * places.get(0).height;
        for (Rectangle other : places.subList(1, 7))
            assertThat(3 * other.width * other.height).isLessThan(lead);
    }
}
