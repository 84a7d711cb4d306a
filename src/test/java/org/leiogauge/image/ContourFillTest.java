// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.task.InputException;

class ContourFillTest {
    private static final Grid GRID =
            new Grid(new Size(9, 6, 2), new Spacing(1, 1, 4), DirectionCosines.AXIAL, new Point(0, 0, 0));

    // Oracle: counted by hand, voxel centres inside the lines.
    @Test
    void aNestedContourCutsAHole() throws InputException {
        assertThat(picture(fill(box(0.5, 0.5, 7.5, 4.5, 0), box(2.5, 1.5, 5.5, 3.5, 0))))
                .isEqualTo("""
                .........
                .#######.
                .##...##.
                .##...##.
                .#######.
                .........
                """);
    }

    // Oracle: the same picture, by a line that runs into the hole and back along itself.
    @Test
    void aKeyHoleCutsTheSameHole() throws InputException {
        List<Point> points = new ArrayList<>(box(0.5, 0.5, 7.5, 4.5, 0).points());
        points.add(points.get(0));
        List<Point> hole = box(2.5, 1.5, 5.5, 3.5, 0).points();
        points.addAll(hole);
        points.add(hole.get(0));
        assertThat(picture(fill(new Contour(points))))
                .isEqualTo(picture(fill(box(0.5, 0.5, 7.5, 4.5, 0), box(2.5, 1.5, 5.5, 3.5, 0))));
    }

    @Test
    void aContourALittleOffPlaneCountsForItsSlice() throws InputException {
        Mask mask = fill(box(0.5, 0.5, 2.5, 2.5, 0.9), box(4.5, 0.5, 6.5, 2.5, 3.2));
        assertThat(mask.has(1, 1, 0)).isTrue();
        assertThat(mask.has(5, 1, 0)).isFalse();
        assertThat(mask.has(5, 1, 1)).isTrue();
        assertThat(mask.count()).isEqualTo(8);
    }

    @Test
    void twoContoursOfOneSliceAreBothFilledAndCopiesOnce() throws InputException {
        Contour one = box(0.5, 0.5, 2.5, 2.5, 0);
        Contour two = box(4.5, 0.5, 6.5, 2.5, 0);
        ContourFill.Filled filled = ContourFill.fill("file", List.of(one, two, one), GRID);
        assertThat(filled.mask().count()).isEqualTo(8);
        assertThat(filled.decisions()).singleElement().asString().contains("1 contours that stand twice");
    }

    @Test
    void aContourThatRunsOutIsCutAndSaidSo() throws InputException {
        ContourFill.Filled filled = ContourFill.fill("file", List.of(box(-3.5, 0.5, 2.5, 2.5, 0)), GRID);
        assertThat(filled.mask().count()).isEqualTo(6);
        assertThat(filled.decisions()).singleElement().asString().contains("run out of the image");
    }

    @Test
    void whatLiesOutsideOrAcrossIsRefused() {
        assertThatThrownBy(() -> fill(box(0.5, 0.5, 2.5, 2.5, 20)))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("a contour outside the image");
        assertThatThrownBy(() -> fill(box(20, 0.5, 25, 2.5, 0))).hasMessageContaining("a contour outside the image");
        assertThatThrownBy(() -> fill(new Contour(List.of(new Point(0, 0, 0), new Point(5, 0, 0), new Point(5, 5, 8)))))
                .hasMessageContaining("runs across slices");
        assertThatThrownBy(() -> new Contour(List.of(new Point(0, 0, 0), new Point(1, 0, 0))))
                .hasMessageContaining("three points or more, got 2");
    }

    private static Mask fill(Contour... contours) throws InputException {
        return ContourFill.fill("file", List.of(contours), GRID).mask();
    }

    private static Contour box(double left, double top, double right, double bottom, double z) {
        return new Contour(List.of(
                new Point(left, top, z),
                new Point(right, top, z),
                new Point(right, bottom, z),
                new Point(left, bottom, z)));
    }

    private static String picture(Mask mask) {
        StringBuilder picture = new StringBuilder();
        for (int y = 0; y < 6; y++) {
            for (int x = 0; x < 9; x++) picture.append(mask.has(x, y, 0) ? '#' : '.');
            picture.append('\n');
        }
        return picture.toString();
    }
}
