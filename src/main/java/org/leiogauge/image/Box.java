// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** A block of voxels, both corners included; may reach outside a grid until it is clipped to it. */
public record Box(int minX, int minY, int minZ, int maxX, int maxY, int maxZ) {
    public Box {
        if (maxX < minX || maxY < minY || maxZ < minZ)
            throw new IllegalArgumentException("box must hold a voxel, got " + minX + ".." + maxX + ", " + minY + ".."
                    + maxY + ", " + minZ + ".." + maxZ);
    }

    /** The whole grid. */
    public static Box of(Size size) {
        return new Box(0, 0, 0, size.x() - 1, size.y() - 1, size.z() - 1);
    }

    public Size size() {
        return new Size(maxX - minX + 1, maxY - minY + 1, maxZ - minZ + 1);
    }

    /** Larger by as many voxels on each of its six sides. */
    public Box grow(int x, int y, int z) {
        return new Box(minX - x, minY - y, minZ - z, maxX + x, maxY + y, maxZ + z);
    }

    /** Moved by as many voxels. */
    public Box shift(int x, int y, int z) {
        return new Box(minX + x, minY + y, minZ + z, maxX + x, maxY + y, maxZ + z);
    }

    /** The part inside a grid of this size; the box must reach into it. */
    public Box clip(Size size) {
        return new Box(
                Math.max(minX, 0),
                Math.max(minY, 0),
                Math.max(minZ, 0),
                Math.min(maxX, size.x() - 1),
                Math.min(maxY, size.y() - 1),
                Math.min(maxZ, size.z() - 1));
    }

    public boolean isInside(Size size) {
        return minX >= 0 && minY >= 0 && minZ >= 0 && maxX < size.x() && maxY < size.y() && maxZ < size.z();
    }
}
