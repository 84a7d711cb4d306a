// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import net.imglib2.Cursor;
import net.imglib2.RandomAccessibleInterval;
import net.imglib2.img.array.ArrayImg;
import net.imglib2.img.array.ArrayImgs;
import net.imglib2.img.basictypeaccess.array.FloatArray;
import net.imglib2.type.numeric.RealType;
import net.imglib2.type.numeric.real.FloatType;
import net.imglib2.view.Views;

/**
 * An image in patient space: one {@code float} per voxel of a grid, x fastest. Voxels without a value are NaN.
 *
 * <p>A volume is not written to once it is made: {@link #voxels()} and {@link #image()} give the voxels themselves, to be
 * read only.
 */
public final class Volume {
    private final Grid grid;
    private final float[] voxels;

    /** @param voxels one per voxel of the grid, x fastest; handed over, not copied */
    public Volume(Grid grid, float[] voxels) {
        if (voxels.length != grid.size().voxels())
            throw new IllegalArgumentException(
                    "voxels must be " + grid.size().voxels() + " for " + grid.size() + ", got " + voxels.length);
        this.grid = grid;
        this.voxels = voxels;
    }

    /** A copy of a three-dimensional image. */
    public static Volume of(Grid grid, RandomAccessibleInterval<? extends RealType<?>> image) {
        Size size = grid.size();
        if (image.numDimensions() != 3
                || image.dimension(0) != size.x()
                || image.dimension(1) != size.y()
                || image.dimension(2) != size.z())
            throw new IllegalArgumentException("image must have the grid's size " + size + ", got " + image);
        float[] voxels = new float[size.voxels()];
        Cursor<? extends RealType<?>> cursor = Views.flatIterable(image).cursor();
        for (int i = 0; i < voxels.length; i++) voxels[i] = cursor.next().getRealFloat();
        return new Volume(grid, voxels);
    }

    public Grid grid() {
        return grid;
    }

    /** The voxels themselves, x fastest: read only. */
    public float[] voxels() {
        return voxels;
    }

    /** The voxels themselves as an ImgLib2 image with axes x, y, z: read only. */
    public ArrayImg<FloatType, FloatArray> image() {
        Size size = grid.size();
        return ArrayImgs.floats(voxels, size.x(), size.y(), size.z());
    }

    public float at(int x, int y, int z) {
        return voxels[grid.offset(x, y, z)];
    }

    /** The part in a box that lies inside the grid. */
    public Volume crop(Box box) {
        if (!box.isInside(grid.size()))
            throw new IllegalArgumentException("box must lie inside " + grid.size() + ", got " + box);
        Grid part = grid.crop(box);
        float[] inside = new float[part.size().voxels()];
        int width = part.size().x();
        int to = 0;
        for (int z = box.minZ(); z <= box.maxZ(); z++)
            for (int y = box.minY(); y <= box.maxY(); y++, to += width)
                System.arraycopy(voxels, grid.offset(box.minX(), y, z), inside, to, width);
        return new Volume(part, inside);
    }
}
