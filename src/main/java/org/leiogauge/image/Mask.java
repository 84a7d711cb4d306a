// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.lang.invoke.MethodHandles;
import java.lang.invoke.VarHandle;
import java.nio.ByteOrder;
import java.util.Optional;
import net.imglib2.img.array.ArrayImg;
import net.imglib2.img.array.ArrayImgs;
import net.imglib2.img.basictypeaccess.array.ByteArray;
import net.imglib2.type.numeric.integer.UnsignedByteType;

/**
 * A region: 1 for each voxel of a grid that belongs to it, 0 for the others, x fastest.
 *
 * <p>A mask is not written to once it is made: {@link #voxels()} gives the voxels themselves, to be read only.
 */
public final class Mask {
    private static final VarHandle EIGHT = MethodHandles.byteArrayViewVarHandle(long[].class, ByteOrder.LITTLE_ENDIAN);
    private static final long ONES = 0x0101010101010101L;

    private final Grid grid;
    private final byte[] voxels;
    private final int count;

    /** @param voxels 0 or 1 per voxel of the grid, x fastest; handed over, not copied */
    public Mask(Grid grid, byte[] voxels) {
        if (voxels.length != grid.size().voxels())
            throw new IllegalArgumentException(
                    "voxels must be " + grid.size().voxels() + " for " + grid.size() + ", got " + voxels.length);
        this.grid = grid;
        this.voxels = voxels;
        this.count = counted(voxels);
    }

    // Every draw makes masks by the dozen: eight voxels at a time.
    private static int counted(byte[] voxels) {
        int sum = 0;
        int i = 0;
        for (; i + Long.BYTES <= voxels.length; i += Long.BYTES) {
            long eight = (long) EIGHT.get(voxels, i);
            if ((eight & ~ONES) != 0) requireBinary(voxels, i);
            sum += Long.bitCount(eight);
        }
        requireBinary(voxels, i);
        for (; i < voxels.length; i++) sum += voxels[i];
        return sum;
    }

    private static void requireBinary(byte[] voxels, int from) {
        for (int i = from; i < voxels.length; i++)
            if ((voxels[i] & ~1) != 0) throw new IllegalArgumentException("voxels must be 0 or 1, got " + voxels[i]);
    }

    public Grid grid() {
        return grid;
    }

    /** The voxels themselves, 0 or 1, x fastest: read only. */
    public byte[] voxels() {
        return voxels;
    }

    /** The voxels themselves as an ImgLib2 image with axes x, y, z: read only. */
    public ArrayImg<UnsignedByteType, ByteArray> image() {
        Size size = grid.size();
        return ArrayImgs.unsignedBytes(voxels, size.x(), size.y(), size.z());
    }

    /** The region as an image: 1 inside, 0 outside. */
    public Volume asVolume() {
        float[] values = new float[voxels.length];
        for (int i = 0; i < values.length; i++) values[i] = voxels[i];
        return new Volume(grid, values);
    }

    public boolean has(int x, int y, int z) {
        return voxels[grid.offset(x, y, z)] != 0;
    }

    /** Number of voxels in the region. */
    public int count() {
        return count;
    }

    public boolean isEmpty() {
        return count == 0;
    }

    /** Volume of the region by counting its voxels, in mm³. */
    public double volume() {
        return count * grid.voxelVolume();
    }

    /** The smallest box that holds the region; none for an empty one. */
    public Optional<Box> boundingBox() {
        if (count == 0) return Optional.empty();
        Size size = grid.size();
        int minX = size.x();
        int maxX = -1;
        int minY = size.y();
        int maxY = -1;
        int minZ = size.z();
        int maxZ = -1;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                int row = grid.offset(0, y, z);
                int first = firstIn(row, size.x());
                if (first < 0) continue;
                minX = Math.min(minX, first);
                maxX = Math.max(maxX, lastIn(row, size.x()));
                minY = Math.min(minY, y);
                maxY = Math.max(maxY, y);
                minZ = Math.min(minZ, z);
                maxZ = z;
            }
        return Optional.of(new Box(minX, minY, minZ, maxX, maxY, maxZ));
    }

    /** The part in a box, which may reach outside the grid; there is nothing of the region there. */
    public Mask crop(Box box) {
        Grid part = grid.crop(box);
        byte[] inside = new byte[part.size().voxels()];
        Box shared = box.clip(grid.size());
        int width = shared.size().x();
        for (int z = shared.minZ(); z <= shared.maxZ(); z++)
            for (int y = shared.minY(); y <= shared.maxY(); y++)
                System.arraycopy(
                        voxels,
                        grid.offset(shared.minX(), y, z),
                        inside,
                        part.offset(shared.minX() - box.minX(), y - box.minY(), z - box.minZ()),
                        width);
        return new Mask(part, inside);
    }

    private int firstIn(int row, int width) {
        for (int x = 0; x < width; x++) if (voxels[row + x] != 0) return x;
        return -1;
    }

    private int lastIn(int row, int width) {
        for (int x = width - 1; x >= 0; x--) if (voxels[row + x] != 0) return x;
        return -1;
    }
}
