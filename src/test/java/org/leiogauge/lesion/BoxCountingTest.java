// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import org.junit.jupiter.api.Test;

class BoxCountingTest {
    // Oracle: closed forms, 1 for a line, 2 for a filled square, ln 4 / ln 3 = 1.2619 for the Koch curve. The tolerance
    // is
    // what the ends of a finite set and the lattice's places leave.
    @Test
    void dimensionsOfTheKnownSets() {
        assertThat(dimension(line(), 1, 2, 4, 8, 16)).isCloseTo(1, within(0.02));
        assertThat(dimension(square(), 1, 2, 4, 8)).isCloseTo(2, within(0.06));
        assertThat(dimension(koch(), 1, 3, 9, 27)).isCloseTo(1.2619, within(0.04));
    }

    private static double dimension(List<double[]> points, double... sides) {
        double[] x = points.stream().mapToDouble(p -> p[0]).toArray();
        double[] y = points.stream().mapToDouble(p -> p[1]).toArray();
        return BoxCounting.dimension(x, y, sides);
    }

    private static List<double[]> line() {
        List<double[]> points = new ArrayList<>();
        for (double t = 0; t < 500; t += 0.25) points.add(new double[] {t, 0});
        return points;
    }

    private static List<double[]> square() {
        List<double[]> points = new ArrayList<>();
        for (double x = 0; x < 250; x += 0.5) for (double y = 0; y < 250; y += 0.5) points.add(new double[] {x, y});
        return points;
    }

    private static List<double[]> koch() {
        List<double[]> points = new ArrayList<>(List.of(new double[] {0, 0}));
        koch(points, 0, 0, 729, 0, 7);
        return points;
    }

    private static void koch(List<double[]> points, double ax, double ay, double bx, double by, int level) {
        if (level == 0) {
            points.add(new double[] {bx, by});
            return;
        }
        double dx = (bx - ax) / 3;
        double dy = (by - ay) / 3;
        double peakX = ax + 1.5 * dx - Math.sqrt(3) / 2 * dy;
        double peakY = ay + 1.5 * dy + Math.sqrt(3) / 2 * dx;
        koch(points, ax, ay, ax + dx, ay + dy, level - 1);
        koch(points, ax + dx, ay + dy, peakX, peakY, level - 1);
        koch(points, peakX, peakY, ax + 2 * dx, ay + 2 * dy, level - 1);
        koch(points, ax + 2 * dx, ay + 2 * dy, bx, by, level - 1);
    }
}
