// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Locale;

/** A place in patient space, LPS, in mm; finite. */
public record Point(double x, double y, double z) {
    public Point {
        if (!(Double.isFinite(x) && Double.isFinite(y) && Double.isFinite(z)))
            throw new IllegalArgumentException("point must be finite, got " + x + ", " + y + ", " + z);
    }

    public Point plus(Vector step) {
        return new Point(x + step.x(), y + step.y(), z + step.z());
    }

    public Vector minus(Point other) {
        return new Vector(x - other.x, y - other.y, z - other.z);
    }

    /** As people read it, to a tenth of a mm; not for tables. */
    @Override
    public String toString() {
        // a zero has no sign to a reader
        return String.format(Locale.ROOT, "(%.1f, %.1f, %.1f) mm", x, y, z).replaceAll("-0\\.0(?=[,)])", "0.0");
    }

    /** In mm. */
    public double distance(Point other) {
        return minus(other).length();
    }
}
