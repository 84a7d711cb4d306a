// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;

/**
 * The triangles of one cube of a two-valued image, for each of the 256 ways in which its eight corners can lie inside or
 * outside.
 *
 * <p>Corner c of the cube lies at (c &amp; 1, c &gt;&gt; 1 &amp; 1, c &gt;&gt; 2 &amp; 1). The surface crosses an edge between an inside and an
 * outside corner at its middle. On each face the crossings are joined so that the inside lies on the same hand; where
 * two inside corners of a face lie across from each other they are linked on that face, as the zones of the standard
 * are. The rule looks at the face's own corners alone, so that the two cubes that share a face agree and the surface is
 * closed. The joined crossings make closed polygons. They are cut into the triangles that have the largest area in a
 * cube of equal edges, and of equals those that enclose most: a rule that treats all axes and directions alike, and the
 * one of those tried (largest and least area, largest and least volume, fans, their mean) that gives the surfaces of
 * the standard's reference values.
 *
 * <p>Source: idea of Lorensen and Cline 1987, doi:10.1145/37402.37422; the table is derived here, not copied.
 */
final class MarchingCubes {
    /** The two corners of each of the 12 edges, the lower one first; 0–3 run along x, 4–7 along y, 8–11 along z. */
    static final int[][] EDGES = new int[12][];

    // The corners of each face in turn, seen from outside the cube anticlockwise.
    private static final int[][] FACES = {
        {0, 4, 6, 2}, {1, 3, 7, 5}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 2, 3, 1}, {4, 5, 7, 6}
    };

    private static final int[][] TRIANGLES = new int[256][];

    static {
        int edge = 0;
        for (int axis = 1; axis <= 4; axis <<= 1)
            for (int corner = 0; corner < 8; corner++)
                if ((corner & axis) == 0) EDGES[edge++] = new int[] {corner, corner | axis};
        for (int inside = 0; inside < 256; inside++) TRIANGLES[inside] = surface(joins(inside));
    }

    private static final double SAME = 1e-9;

    private MarchingCubes() {}

    /** Edge numbers, three per triangle, anticlockwise seen from outside the region. Bit c of {@code inside}: corner c. */
    static int[] triangles(int inside) {
        return TRIANGLES[inside];
    }

    // next[e]: the crossing that follows crossing e on the polygon, -1 where the edge isn't crossed.
    private static int[] joins(int inside) {
        int[] next = new int[12];
        Arrays.fill(next, -1);
        for (int[] face : FACES)
            for (int k = 0; k < 4; k++) {
                // Going round, a piece of outside ends where a step leads in, and began at the last step out.
                if (isIn(inside, face[k]) || !isIn(inside, face[(k + 1) % 4])) continue;
                int begin = k + 4;
                while (!isIn(inside, face[(begin - 1) % 4])) begin--;
                next[edge(face[k], face[(k + 1) % 4])] = edge(face[(begin - 1) % 4], face[begin % 4]);
            }
        return next;
    }

    private static int[] surface(int[] next) {
        int[] corners = new int[36];
        int size = 0;
        for (int start = 0; start < 12; start++) {
            if (next[start] < 0) continue;
            int[] triangles = cut(polygon(next, start));
            System.arraycopy(triangles, 0, corners, size, triangles.length);
            size += triangles.length;
            clear(next, start);
        }
        return Arrays.copyOf(corners, size);
    }

    private static int[] polygon(int[] next, int start) {
        int[] edges = new int[12];
        int size = 0;
        int e = start;
        do edges[size++] = e;
        while ((e = next[e]) != start);
        return Arrays.copyOf(edges, size);
    }

    /** The side from the first to the last crossing belongs to one triangle; what it leaves on both sides is cut alike. */
    private static int[] cut(int[] polygon) {
        int n = polygon.length;
        if (n < 3) return new int[0];
        int[] best = new int[0];
        for (int k = 1; k < n - 1; k++) {
            int[] left = cut(Arrays.copyOfRange(polygon, 0, k + 1));
            int[] right = cut(Arrays.copyOfRange(polygon, k, n));
            int[] triangles = Arrays.copyOf(left, left.length + right.length + 3);
            System.arraycopy(right, 0, triangles, left.length, right.length);
            triangles[triangles.length - 3] = polygon[0];
            triangles[triangles.length - 2] = polygon[k];
            triangles[triangles.length - 1] = polygon[n - 1];
            if (best.length == 0 || isBetter(triangles, best)) best = triangles;
        }
        return best;
    }

    private static boolean isBetter(int[] triangles, int[] others) {
        double more = area(triangles) - area(others);
        return more > SAME || more > -SAME && volume(triangles) > volume(others);
    }

    private static double area(int[] triangles) {
        double sum = 0;
        for (int t = 0; t < triangles.length; t += 3) {
            int[] n = cross(triangles[t], triangles[t + 1], triangles[t + 2]);
            sum += Math.sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
        }
        return sum;
    }

    // Against the cube's middle, so that the order of equals does not depend on how the cube lies.
    private static int volume(int[] triangles) {
        int sum = 0;
        for (int t = 0; t < triangles.length; t += 3) {
            int[] n = cross(triangles[t], triangles[t + 1], triangles[t + 2]);
            for (int axis = 0; axis < 3; axis++) sum += n[axis] * (half(triangles[t], axis) - 1);
        }
        return sum;
    }

    private static int[] cross(int a, int b, int c) {
        int[] u = new int[3];
        int[] v = new int[3];
        for (int axis = 0; axis < 3; axis++) {
            u[axis] = half(b, axis) - half(a, axis);
            v[axis] = half(c, axis) - half(a, axis);
        }
        return new int[] {u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]};
    }

    /** Where the middle of an edge lies along an axis, in half edges. */
    private static int half(int edge, int axis) {
        return (EDGES[edge][0] >> axis & 1) + (EDGES[edge][1] >> axis & 1);
    }

    private static void clear(int[] next, int start) {
        for (int e = start; e >= 0; ) {
            int following = next[e];
            next[e] = -1;
            e = following;
        }
    }

    private static boolean isIn(int inside, int corner) {
        return (inside >> corner & 1) != 0;
    }

    private static int edge(int a, int b) {
        for (int e = 0; e < 12; e++) if (EDGES[e][0] == Math.min(a, b) && EDGES[e][1] == Math.max(a, b)) return e;
        throw new IllegalStateException("no edge between corners " + a + " and " + b);
    }
}
