// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Locale;

/**
 * Where voxels lie in patient space: the centre of the voxel with index (i, j, k) is at
 * origin + i · spacing.x · direction.x + j · spacing.y · direction.y + k · spacing.z · direction.z.
 *
 * @param origin centre of the voxel with index (0, 0, 0)
 */
public record Grid(Size size, Spacing spacing, DirectionCosines direction, Point origin) {

    /** The point, in mm, of an index. */
    public Point point(double x, double y, double z) {
        return origin.plus(stepX().times(x)).plus(stepY().times(y)).plus(stepZ().times(z));
    }

    public Point point(Index index) {
        return point(index.x(), index.y(), index.z());
    }

    /** The index of a point, in the grid or outside it. */
    public Index index(Point point) {
        Vector d = point.minus(origin);
        return new Index(
                d.dot(direction.x()) / spacing.x(),
                d.dot(direction.y()) / spacing.y(),
                d.dot(direction.z()) / spacing.z());
    }

    /** From one voxel to the next along x, in mm. */
    public Vector stepX() {
        return direction.x().times(spacing.x());
    }

    /** From one voxel to the next along y, in mm. */
    public Vector stepY() {
        return direction.y().times(spacing.y());
    }

    /** From one voxel to the next along z, in mm. */
    public Vector stepZ() {
        return direction.z().times(spacing.z());
    }

    /** Place of a voxel in a flat array, x fastest. */
    public int offset(int x, int y, int z) {
        return (z * size.y() + y) * size.x() + x;
    }

    /** In mm³. */
    public double voxelVolume() {
        return spacing.x() * spacing.y() * spacing.z();
    }

    /** Whether the point lies in a voxel of this grid, its faces included. */
    public boolean contains(Point point) {
        Index i = index(point);
        return isWithin(i.x(), size.x()) && isWithin(i.y(), size.y()) && isWithin(i.z(), size.z());
    }

    /** The grid of a block of this grid's voxels, which may reach outside. */
    public Grid crop(Box box) {
        return new Grid(box.size(), spacing, direction, point(box.minX(), box.minY(), box.minZ()));
    }

    /** Whether both grids have the same size and each voxel lies within {@code toleranceMm} of its twin. */
    public boolean coincides(Grid other, double toleranceMm) {
        if (!size.equals(other.size)) return false;
        for (int corner = 0; corner < 8; corner++) {
            double x = (corner & 1) * (size.x() - 1.0);
            double y = (corner >> 1 & 1) * (size.y() - 1.0);
            double z = (corner >> 2 & 1) * (size.z() - 1.0);
            if (point(x, y, z).distance(other.point(x, y, z)) > toleranceMm) return false;
        }
        return true;
    }

    /** As people read it, without the directions; not for tables. */
    @Override
    public String toString() {
        return String.format(
                Locale.ROOT,
                "%s voxels of %.2f × %.2f × %.2f mm from %s",
                size,
                spacing.x(),
                spacing.y(),
                spacing.z(),
                origin);
    }

    private static boolean isWithin(double index, int size) {
        return index >= -0.5 && index <= size - 0.5;
    }
}
