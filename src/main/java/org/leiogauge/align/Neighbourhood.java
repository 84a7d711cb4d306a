// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Spacing;

/** The part of the fixed image that is looked at: the lesion's box and a margin, as far as the image goes. */
final class Neighbourhood {
    private static final int PLACES = 500;

    private final Grid grid;
    private final Box box;
    private final Point centre;
    private final double radiusMm;
    private final List<Point> places;

    /** @param inner the lesion's box */
    Neighbourhood(Mask lesion, Box inner, double marginMm) {
        grid = lesion.grid();
        box = wider(grid, inner, marginMm).clip(grid.size());
        centre = grid.point(
                (inner.minX() + inner.maxX()) / 2.0,
                (inner.minY() + inner.maxY()) / 2.0,
                (inner.minZ() + inner.maxZ()) / 2.0);
        // two thirds of the way from the middle to a corner
        radiusMm =
                grid.point(box.minX(), box.minY(), box.minZ()).distance(grid.point(box.maxX(), box.maxY(), box.maxZ()))
                        / 3;
        places = places(lesion, inner);
    }

    /** In the fixed image's voxels. */
    Box box() {
        return box;
    }

    /** With a border, as far as the image goes. */
    Box box(double borderMm) {
        return wider(grid, box, borderMm).clip(grid.size());
    }

    /** Of the lesion's box. */
    Point centre() {
        return centre;
    }

    double radiusMm() {
        return radiusMm;
    }

    /** Some hundreds of the lesion's voxels, evenly over it. */
    List<Point> places() {
        return places;
    }

    /** Distance between where two correspondences take the lesion, root mean square, in mm. */
    double apart(Correspondence a, Correspondence b) {
        double sum = 0;
        for (Point p : places) {
            double d = a.apply(p).distance(b.apply(p));
            sum += d * d;
        }
        return Math.sqrt(sum / places.size());
    }

    /** How much of the box another grid covers by patient coordinates, 0 to 1. */
    double share(Grid other) {
        int in = 0;
        int all = 0;
        for (int k = 0; k < 10; k++)
            for (int j = 0; j < 10; j++)
                for (int i = 0; i < 10; i++, all++)
                    if (other.contains(grid.point(
                            box.minX() + (i + 0.5) * box.size().x() / 10 - 0.5,
                            box.minY() + (j + 0.5) * box.size().y() / 10 - 0.5,
                            box.minZ() + (k + 0.5) * box.size().z() / 10 - 0.5))) in++;
        return (double) in / all;
    }

    /** The other grid's voxels that lie in the box or within so many mm of it; the grid must reach into it. */
    Box within(Grid other, double mm) {
        double[] low = {1e9, 1e9, 1e9};
        double[] high = {-1e9, -1e9, -1e9};
        for (int corner = 0; corner < 8; corner++) {
            Index i = other.index(grid.point(
                    (corner & 1) == 0 ? box.minX() : box.maxX(),
                    (corner & 2) == 0 ? box.minY() : box.maxY(),
                    (corner & 4) == 0 ? box.minZ() : box.maxZ()));
            double[] at = {i.x(), i.y(), i.z()};
            for (int a = 0; a < 3; a++) {
                low[a] = Math.min(low[a], at[a]);
                high[a] = Math.max(high[a], at[a]);
            }
        }
        Box tight = new Box(
                (int) Math.floor(low[0]),
                (int) Math.floor(low[1]),
                (int) Math.floor(low[2]),
                (int) Math.ceil(high[0]),
                (int) Math.ceil(high[1]),
                (int) Math.ceil(high[2]));
        return wider(other, tight, mm).clip(other.size());
    }

    private static Box wider(Grid grid, Box box, double mm) {
        Spacing s = grid.spacing();
        return box.grow((int) Math.ceil(mm / s.x()), (int) Math.ceil(mm / s.y()), (int) Math.ceil(mm / s.z()));
    }

    private static List<Point> places(Mask lesion, Box inner) {
        List<Point> all = new ArrayList<>();
        int step = Math.max(1, lesion.count() / PLACES);
        int seen = 0;
        for (int z = inner.minZ(); z <= inner.maxZ(); z++)
            for (int y = inner.minY(); y <= inner.maxY(); y++)
                for (int x = inner.minX(); x <= inner.maxX(); x++)
                    if (lesion.has(x, y, z) && seen++ % step == 0)
                        all.add(lesion.grid().point(x, y, z));
        return all;
    }
}
