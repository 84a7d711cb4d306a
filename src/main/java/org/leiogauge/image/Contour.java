// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.List;

/** A closed line through three points or more; the last is joined to the first. */
public record Contour(List<Point> points) {
    public Contour {
        points = List.copyOf(points);
        if (points.size() < 3)
            throw new IllegalArgumentException("contour must have three points or more, got " + points.size());
    }
}
