// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.SplittableRandom;

/** Small grids and regions for tests. */
public final class Solids {
    private Solids() {}

    public static Grid grid(int x, int y, int z, double sx, double sy, double sz) {
        return new Grid(new Size(x, y, z), new Spacing(sx, sy, sz), DirectionCosines.AXIAL, new Point(0, 0, 0));
    }

    /** Whether a point belongs to a region. */
    @FunctionalInterface
    public interface Shape {
        boolean has(double x, double y, double z);
    }

    /** The voxels whose centres lie in the shape, in mm from the grid's origin. */
    public static Mask mask(Grid grid, Shape shape) {
        byte[] voxels = new byte[grid.size().voxels()];
        int i = 0;
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++) {
                    Point p = grid.point(x, y, z);
                    voxels[i++] = (byte) (shape.has(p.x(), p.y(), p.z()) ? 1 : 0);
                }
        return new Mask(grid, voxels);
    }

    public static Shape ball(double cx, double cy, double cz, double radius) {
        return (x, y, z) -> (x - cx) * (x - cx) + (y - cy) * (y - cy) + (z - cz) * (z - cz) <= radius * radius;
    }

    /** Each voxel belongs to the region with this probability. */
    public static Mask random(Grid grid, double share, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        byte[] voxels = new byte[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (random.nextDouble() < share ? 1 : 0);
        return new Mask(grid, voxels);
    }

    /** Standard normal noise by the sum of twelve uniform draws. */
    public static Volume noise(Grid grid, double mean, double sd, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) (mean + sd * normal(random));
        return new Volume(grid, voxels);
    }

    public static double normal(SplittableRandom random) {
        double sum = -6;
        for (int k = 0; k < 12; k++) sum += random.nextDouble();
        return sum;
    }

    public static Volume asVolume(Mask mask) {
        float[] voxels = new float[mask.voxels().length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = mask.voxels()[i];
        return new Volume(mask.grid(), voxels);
    }
}
