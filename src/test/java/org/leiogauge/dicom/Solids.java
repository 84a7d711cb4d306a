// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Contour;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;

/** Contours of balls about the middle of a grid. */
final class Solids {
    private Solids() {}

    static Grid oblique(double inPlaneMm, double sliceMm) {
        Vector row = new Vector(0.6, 0.8, 0);
        Vector column = new Vector(-0.8 * 0.28, 0.6 * 0.28, -0.96);
        return new Grid(
                new Size((int) (60 / inPlaneMm), (int) (60 / inPlaneMm), (int) (60 / sliceMm)),
                new Spacing(inPlaneMm, inPlaneMm, sliceMm),
                DirectionCosines.of(row, column),
                new Point(13, -7, 22));
    }

    static List<Contour> sections(Grid grid, double radiusMm) {
        Point middle = grid.point(
                (grid.size().x() - 1) / 2.0,
                (grid.size().y() - 1) / 2.0,
                (grid.size().z() - 1) / 2.0);
        List<Contour> contours = new ArrayList<>();
        for (int z = 0; z < grid.size().z(); z++) {
            double off = (z - (grid.size().z() - 1) / 2.0) * grid.spacing().z();
            double radius = Math.sqrt(Math.max(0, radiusMm * radiusMm - off * off));
            if (radius < 1e-6) continue;
            List<Point> points = new ArrayList<>();
            for (int i = 0; i < 180; i++) {
                double angle = 2 * Math.PI * i / 180;
                points.add(middle.plus(grid.direction().z().times(off))
                        .plus(grid.direction().x().times(radius * Math.cos(angle)))
                        .plus(grid.direction().y().times(radius * Math.sin(angle))));
            }
            contours.add(new Contour(points));
        }
        return contours;
    }
}
