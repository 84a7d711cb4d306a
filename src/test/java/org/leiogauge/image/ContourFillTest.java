// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Random;
import org.junit.jupiter.api.Test;

class ContourFillTest {
    private static final Grid AXIAL =
            new Grid(new Size(10, 8, 3), new Spacing(1, 1, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));

    private static Contour at(double z, double... xy) {
        List<Point> points = new ArrayList<>();
        for (int i = 0; i < xy.length; i += 2) points.add(new Point(xy[i], xy[i + 1], z));
        return new Contour(points);
    }

    private static String picture(Mask mask, int z) {
        StringBuilder text = new StringBuilder();
        for (int y = 0; y < mask.grid().size().y(); y++) {
            for (int x = 0; x < mask.grid().size().x(); x++) text.append(mask.has(x, y, z) ? '#' : '.');
            text.append('\n');
        }
        return text.toString();
    }

    private static final Contour OUTER = at(3, 0.5, 0.5, 8.5, 0.5, 8.5, 6.5, 0.5, 6.5);
    private static final Contour INNER = at(3, 2.5, 2.5, 5.5, 2.5, 5.5, 4.5, 2.5, 4.5);

    // Oracle: drawn by hand.
    private static final String WITH_HOLE = """
            ..........
            .########.
            .########.
            .##...###.
            .##...###.
            .########.
            .########.
            ..........
            """;

    @Test
    void aContourInsideAnotherIsAHole() {
        ContourFill.Filled filled = ContourFill.fill(AXIAL, List.of(OUTER, INNER));
        assertThat(picture(filled.mask(), 1)).isEqualTo(WITH_HOLE);
        assertThat(filled.mask().count()).isEqualTo(42);
        assertThat(filled.offPlaneMm()).isZero();
    }

    @Test
    void aKeyHoleIsAHole() {
        Contour keyHole = at(
                3, 0.5, 0.5, 8.5, 0.5, 8.5, 6.5, 0.5, 6.5, 0.5, 3.3, 2.5, 3.3, 2.5, 4.5, 5.5, 4.5, 5.5, 2.5, 2.5, 2.5,
                2.5, 3.3, 0.5, 3.3);
        assertThat(picture(ContourFill.fill(AXIAL, List.of(keyHole)).mask(), 1)).isEqualTo(WITH_HOLE);
    }

    @Test
    void severalContoursShareASliceAndReachOverItsBorder() {
        Mask mask = ContourFill.fill(
                        AXIAL,
                        List.of(at(0, -5, -5, 1.5, -5, 1.5, 1.5, -5, 1.5), at(0, 7.5, 5.5, 20, 5.5, 20, 6.5, 7.5, 6.5)))
                .mask();
        assertThat(picture(mask, 0)).isEqualTo("""
                        ##........
                        ##........
                        ..........
                        ..........
                        ..........
                        ..........
                        ........##
                        ..........
                        """);
        assertThat(mask.count()).isEqualTo(6);
    }

    @Test
    void contoursOffPlaneGoToTheNearestSlice() {
        ContourFill.Filled filled = ContourFill.fill(
                AXIAL, List.of(at(4.2, 0.5, 0.5, 8.5, 0.5, 8.5, 6.5, 0.5, 6.5), at(7.6, 1, 1, 5, 1, 5, 5)));
        assertThat(filled.mask().has(4, 4, 1)).isTrue();
        assertThat(filled.offPlaneMm()).isCloseTo(1.2, within(1e-9));
        assertThat(filled.outside()).containsExactly(1);
    }

    @Test
    void ofSeveralPlanesInOneSliceTheNearestCounts() {
        ContourFill.Filled filled = ContourFill.fill(
                AXIAL, List.of(at(2, 0, 0, 9, 0, 9, 7, 0, 7), OUTER, at(4, 0, 0, 9, 0, 9, 7, 0, 7), INNER));
        assertThat(filled.crowded()).containsExactly(0, 2);
        assertThat(picture(filled.mask(), 1)).isEqualTo(WITH_HOLE);
    }

    @Test
    void contoursOutsideOrAcrossTheSlicesAreTold() {
        Contour across = new Contour(List.of(new Point(1, 1, 0), new Point(5, 1, 3), new Point(5, 1, 6)));
        ContourFill.Filled filled =
                ContourFill.fill(AXIAL, List.of(across, at(0, 20, 20, 30, 20, 30, 30), at(-2, 1, 1, 5, 1, 5, 5)));
        assertThat(filled.tilted()).containsExactly(0);
        assertThat(filled.outside()).containsExactly(1, 2);
        assertThat(filled.mask().isEmpty()).isTrue();
    }

    @Test
    void aContourNeedsThreePoints() {
        assertThatThrownBy(() -> at(0, 1, 1, 2, 2))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessage("contour must have three points or more, got 2");
        assertThatThrownBy(() -> ContourFill.fill(AXIAL, Map.of(3, List.of(OUTER))))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("got 3");
    }

    // Oracle: closed form, V = 4/3 π a b c; contours of the solid on each slice of a turned grid. Slices are summed, so
    // the
    // error is that of the midpoint rule and of counting centres: below 1 % for 40 slices.
    @Test
    void anEllipsoidsVolumeMatchesTheClosedForm() {
        Vector x = new Vector(0.8, 0.6, 0);
        Vector y = new Vector(-0.36, 0.48, 0.8);
        Grid grid = new Grid(
                new Size(90, 80, 50), new Spacing(0.7, 0.7, 1), DirectionCosines.of(x, y), new Point(-11, 5, 30));
        double[][] solids = {{20, 20, 20}, {27, 15, 20}};
        for (double[] half : solids) {
            List<Contour> contours = new ArrayList<>();
            for (int z = 0; z < 50; z++) {
                double height = (z - 24.3) / half[2];
                if (Math.abs(height) >= 1) continue;
                double scale = Math.sqrt(1 - height * height);
                List<Point> points = new ArrayList<>();
                for (int i = 0; i < 720; i++) {
                    double angle = Math.PI * i / 360;
                    points.add(grid.point(
                            44.6 + half[0] * scale * Math.cos(angle) / 0.7,
                            39.7 + half[1] * scale * Math.sin(angle) / 0.7,
                            z));
                }
                contours.add(new Contour(points));
            }
            double truth = 4 / 3.0 * Math.PI * half[0] * half[1] * half[2];
            double volume = ContourFill.fill(grid, contours).mask().volume();
            assertThat(volume).isCloseTo(truth, within(0.01 * truth));
        }
    }

    // Oracle: brute force, the winding of a ray to the left from each centre.
    @Test
    void randomPolygonsFillAsRaysSay() {
        Random random = new Random(11);
        for (int round = 0; round < 50; round++) {
            double[] xy = new double[2 * (3 + random.nextInt(9))];
            for (int i = 0; i < xy.length; i++) xy[i] = -2 + 13 * random.nextDouble();
            Mask mask = ContourFill.fill(AXIAL, List.of(at(3, xy))).mask();
            for (int y = 0; y < 8; y++)
                for (int x = 0; x < 10; x++)
                    assertThat(mask.has(x, y, 1)).as(round + " " + x + " " + y).isEqualTo(isInside(xy, x, y));
        }
    }

    private static boolean isInside(double[] xy, int x, int y) {
        int crossings = 0;
        for (int i = 0; i < xy.length; i += 2) {
            int j = (i + 2) % xy.length;
            boolean below = xy[i + 1] < y;
            if (below == xy[j + 1] < y) continue;
            double at = xy[i] + (y - xy[i + 1]) / (xy[j + 1] - xy[i + 1]) * (xy[j] - xy[i]);
            if (at < x) crossings++;
        }
        return crossings % 2 == 1;
    }
}
