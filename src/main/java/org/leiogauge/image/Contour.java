// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.List;

/** A closed line in patient space, LPS, in mm: three points or more, the last one joined to the first. */
public record Contour(List<Point> points) {
    public Contour {
        if (points.size() < 3)
            throw new IllegalArgumentException("a contour needs three points or more, got " + points.size());
        points = List.copyOf(points);
    }
}
