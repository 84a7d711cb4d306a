// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * How the patient lies in one series: what was at p is at T(p) = R p + shift, with R about the origin.
 *
 * <p>The header's geometry is the scanner's. So the anatomy under a voxel at p is that at T⁻¹(p).
 */
record Movement(Rotation turn, Vector shift) {
    static Movement of(SeriesSettings series) {
        return new Movement(Rotation.of(series.turnDegrees()), series.shiftMm());
    }

    /** T(p): where in the scanner a place of the anatomy is. */
    Point there(Point p) {
        Vector v = turn.apply(new Vector(p.x(), p.y(), p.z())).plus(shift);
        return new Point(v.x(), v.y(), v.z());
    }

    /** T⁻¹(p): the place of the anatomy that is there. */
    Point back(Point p) {
        Vector v = turn.back(new Vector(p.x() - shift.x(), p.y() - shift.y(), p.z() - shift.z()));
        return new Point(v.x(), v.y(), v.z());
    }

    /** A step in the scanner as a step in the anatomy. */
    Vector back(Vector step) {
        return turn.back(step);
    }
}
