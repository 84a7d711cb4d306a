// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;

/**
 * The closed surface of a region as triangles: marching cubes at 0.5 of the mask, with one empty voxel around the grid.
 *
 * <p>Each corner of a triangle lies half-way between a voxel of the region and a neighbour along an axis that is not in
 * it, so that its index is a whole number of half voxels. Corners are shared between triangles. Triangles are turned
 * anticlockwise, seen from outside, in index order x, y, z. Cost: one pass over the grid.
 *
 * <p>Source: IBSI reference manual, morphological features, mesh-based representation.
 */
public final class Mesh {
    private final Grid grid;
    private final int[] halfIndices;
    private final int[] corners;

    private Mesh(Grid grid, int[] halfIndices, int[] corners) {
        this.grid = grid;
        this.halfIndices = halfIndices;
        this.corners = corners;
    }

    /** The surface of a region; no triangles for an empty one. */
    public static Mesh of(Mask mask) {
        return new Tracer(mask).trace();
    }

    public Grid grid() {
        return grid;
    }

    /** Number of different triangle corners. */
    public int vertexCount() {
        return halfIndices.length / 3;
    }

    public int triangleCount() {
        return corners.length / 3;
    }

    /** Vertex numbers, three per triangle: read only. */
    public int[] corners() {
        return corners;
    }

    /** x, y and z of each vertex in half voxels from the centre of the grid's first voxel: read only. */
    public int[] halfIndices() {
        return halfIndices;
    }

    /** A vertex in patient space. */
    public Point vertex(int number) {
        return grid.point(
                halfIndices[3 * number] * 0.5, halfIndices[3 * number + 1] * 0.5, halfIndices[3 * number + 2] * 0.5);
    }

    /** Volume inside the surface, in mm³: the sum of the signed tetrahedra over its triangles. */
    public double volume() {
        // Six times the volume in half voxels is a sum of whole numbers: exact in a long.
        long sum = 0;
        for (int t = 0; t < corners.length; t += 3)
            sum += determinant(3 * corners[t], 3 * corners[t + 1], 3 * corners[t + 2]);
        return sum / 48.0 * grid.voxelVolume();
    }

    /** Area of the surface, in mm². */
    public double area() {
        double x = grid.spacing().x() / 2;
        double y = grid.spacing().y() / 2;
        double z = grid.spacing().z() / 2;
        double sum = 0;
        int[] h = halfIndices;
        for (int t = 0; t < corners.length; t += 3) {
            int a = 3 * corners[t];
            int b = 3 * corners[t + 1];
            int c = 3 * corners[t + 2];
            double ux = x * (h[b] - h[a]);
            double uy = y * (h[b + 1] - h[a + 1]);
            double uz = z * (h[b + 2] - h[a + 2]);
            double vx = x * (h[c] - h[a]);
            double vy = y * (h[c + 1] - h[a + 1]);
            double vz = z * (h[c + 2] - h[a + 2]);
            double nx = uy * vz - uz * vy;
            double ny = uz * vx - ux * vz;
            double nz = ux * vy - uy * vx;
            sum += Math.sqrt(nx * nx + ny * ny + nz * nz);
        }
        return sum / 2;
    }

    private long determinant(int a, int b, int c) {
        int[] h = halfIndices;
        return h[a] * ((long) h[b + 1] * h[c + 2] - (long) h[b + 2] * h[c + 1])
                + h[a + 1] * ((long) h[b + 2] * h[c] - (long) h[b] * h[c + 2])
                + h[a + 2] * ((long) h[b] * h[c + 1] - (long) h[b + 1] * h[c]);
    }

    /** Walks through the cubes between voxel centres, layer by layer, and remembers the vertices of the last two. */
    private static final class Tracer {
        private final Grid grid;
        private final byte[] voxels;
        private final int nx;
        private final int ny;
        private final int nz;
        private final int width;
        // Vertex numbers: edges along x and y on the lower and the upper side of the layer, edges along z in it.
        private int[][] lower;
        private int[][] upper;
        private final int[] between;
        private int[] halfIndices = new int[3 * 1024];
        private int[] corners = new int[3 * 2048];
        private int vertices;
        private int size;

        Tracer(Mask mask) {
            grid = mask.grid();
            voxels = mask.voxels();
            nx = grid.size().x();
            ny = grid.size().y();
            nz = grid.size().z();
            width = nx + 2;
            int plane = width * (ny + 2);
            lower = new int[2][plane];
            upper = new int[2][plane];
            between = new int[plane];
        }

        Mesh trace() {
            for (int[] edges : upper) Arrays.fill(edges, -1);
            for (int z = -1; z < nz; z++) {
                int[][] swap = lower;
                lower = upper;
                upper = swap;
                for (int[] edges : upper) Arrays.fill(edges, -1);
                Arrays.fill(between, -1);
                for (int y = -1; y < ny; y++) row(y, z);
            }
            // One after the other, so that the longer array of the first is gone before the second is copied.
            halfIndices = Arrays.copyOf(halfIndices, 3 * vertices);
            corners = Arrays.copyOf(corners, size);
            return new Mesh(grid, halfIndices, corners);
        }

        private void row(int y, int z) {
            int a = rowOffset(y, z);
            int b = rowOffset(y + 1, z);
            int c = rowOffset(y, z + 1);
            int d = rowOffset(y + 1, z + 1);
            int inside = 0;
            for (int x = -1; x < nx; x++) {
                // The right-hand corners become the left-hand ones of the next cube.
                inside = inside >> 1 & 0x55;
                if (x + 1 < nx) {
                    if (a >= 0) inside |= voxels[a + x + 1] << 1;
                    if (b >= 0) inside |= voxels[b + x + 1] << 3;
                    if (c >= 0) inside |= voxels[c + x + 1] << 5;
                    if (d >= 0) inside |= voxels[d + x + 1] << 7;
                }
                if (inside != 0 && inside != 255) cube(inside, x, y, z);
            }
        }

        private int rowOffset(int y, int z) {
            return y < 0 || y >= ny || z < 0 || z >= nz ? -1 : grid.offset(0, y, z);
        }

        private void cube(int inside, int x, int y, int z) {
            int[] triangles = MarchingCubes.triangles(inside);
            if (size + triangles.length > corners.length) corners = grown(corners);
            for (int edge : triangles) corners[size++] = vertex(edge, x, y, z);
        }

        // By a quarter: a large surface must not hold twice its memory.
        private static int[] grown(int[] array) {
            return Arrays.copyOf(array, array.length + array.length / 4);
        }

        private int vertex(int edge, int x, int y, int z) {
            int corner = MarchingCubes.EDGES[edge][0];
            int dx = corner & 1;
            int dy = corner >> 1 & 1;
            int dz = corner >> 2;
            int[] known = edge >= 8 ? between : (dz == 0 ? lower : upper)[edge >> 2];
            int place = (y + dy + 1) * width + x + dx + 1;
            if (known[place] < 0) {
                known[place] = vertices;
                int axis = edge >> 2;
                add(
                        2 * (x + dx) + (axis == 0 ? 1 : 0),
                        2 * (y + dy) + (axis == 1 ? 1 : 0),
                        2 * (z + dz) + (axis == 2 ? 1 : 0));
            }
            return known[place];
        }

        private void add(int x, int y, int z) {
            if (3 * vertices + 3 > halfIndices.length) halfIndices = grown(halfIndices);
            halfIndices[3 * vertices] = x;
            halfIndices[3 * vertices + 1] = y;
            halfIndices[3 * vertices + 2] = z;
            vertices++;
        }
    }
}
