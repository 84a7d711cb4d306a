// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/**
 * How many steps along the axes lead from each voxel of a region out of it: 1 for a voxel at the border, which a hole
 * and the end of the grid are too; 0 outside.
 *
 * <p>Cost: one sweep forward and one back, each exact for steps between {@link Neighbourhood#FACES}.
 *
 * <p>Source: Rosenfeld and Pfaltz 1966, doi:10.1145/321356.321357.
 */
public final class CityBlockDistance {
    private CityBlockDistance() {}

    /**
     * @param inPlane whether only steps along x and y count, each slice by itself
     * @return one per voxel, x fastest
     */
    public static short[] of(Mask mask, boolean inPlane) {
        Size size = mask.grid().size();
        if (Math.min(size.x(), size.y()) > 2 * (Short.MAX_VALUE - 1))
            throw new IllegalArgumentException("grid must be smaller than 65532 voxels along x or y, got " + size);
        byte[] voxels = mask.voxels();
        short[] steps = new short[voxels.length];
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) forward(voxels, steps, size, y, z, inPlane);
        for (int z = size.z() - 1; z >= 0; z--)
            for (int y = size.y() - 1; y >= 0; y--) back(steps, size, y, z, inPlane);
        return steps;
    }

    private static void forward(byte[] voxels, short[] steps, Size size, int y, int z, boolean inPlane) {
        int nx = size.x();
        int row = (z * size.y() + y) * nx;
        int left = 0;
        for (int x = 0; x < nx; x++) {
            int i = row + x;
            if (voxels[i] == 0) {
                left = 0;
                continue;
            }
            int least = Math.min(left, y == 0 ? 0 : steps[i - nx]);
            if (!inPlane) least = Math.min(least, z == 0 ? 0 : steps[i - nx * size.y()]);
            left = least + 1;
            steps[i] = (short) left;
        }
    }

    private static void back(short[] steps, Size size, int y, int z, boolean inPlane) {
        int nx = size.x();
        int row = (z * size.y() + y) * nx;
        int right = 0;
        for (int x = nx - 1; x >= 0; x--) {
            int i = row + x;
            if (steps[i] == 0) {
                right = 0;
                continue;
            }
            int least = Math.min(right, y == size.y() - 1 ? 0 : steps[i + nx]);
            if (!inPlane) least = Math.min(least, z == size.z() - 1 ? 0 : steps[i + nx * size.y()]);
            right = Math.min(steps[i], least + 1);
            steps[i] = (short) right;
        }
    }
}
