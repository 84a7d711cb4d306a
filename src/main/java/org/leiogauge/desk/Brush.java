// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;

/** What a round brush reaches on a slice. */
final class Brush {
    private Brush() {}

    /**
     * Which voxel centres lie within a radius of a path, straight onto the slice. Cost: linear in the slice's voxels, and for
     * each piece of the path in those of the box about it.
     *
     * @param slice one slice
     * @param path in patient space; joined by straight pieces, one point is a dab
     * @return one value per voxel, x fastest
     */
    static boolean[] near(Grid slice, List<Point> path, double radiusMm) {
        Size size = slice.size();
        List<double[]> at = new ArrayList<>();
        for (Point point : path) {
            Index index = slice.index(point);
            at.add(new double[] {
                index.x() * slice.spacing().x(), index.y() * slice.spacing().y()
            });
        }
        boolean[] near = new boolean[size.x() * size.y()];
        for (int p = 0; p < at.size(); p++) dab(slice, at.get(Math.max(0, p - 1)), at.get(p), radiusMm, near);
        return near;
    }

    /** What lies within the radius of one straight piece, in mm in the slice. */
    private static void dab(Grid slice, double[] a, double[] b, double radius, boolean[] near) {
        Size size = slice.size();
        double sx = slice.spacing().x();
        double sy = slice.spacing().y();
        int left = (int) Math.max(0, Math.ceil((Math.min(a[0], b[0]) - radius) / sx));
        int right = (int) Math.min(size.x() - 1, Math.floor((Math.max(a[0], b[0]) + radius) / sx));
        int top = (int) Math.max(0, Math.ceil((Math.min(a[1], b[1]) - radius) / sy));
        int bottom = (int) Math.min(size.y() - 1, Math.floor((Math.max(a[1], b[1]) + radius) / sy));
        double dx = b[0] - a[0];
        double dy = b[1] - a[1];
        double square = dx * dx + dy * dy;
        for (int y = top; y <= bottom; y++)
            for (int x = left; x <= right; x++) {
                double px = x * sx - a[0];
                double py = y * sy - a[1];
                double t = square == 0 ? 0 : Math.max(0, Math.min(1, (px * dx + py * dy) / square));
                if (Math.hypot(px - t * dx, py - t * dy) <= radius) near[y * size.x() + x] = true;
            }
    }
}
