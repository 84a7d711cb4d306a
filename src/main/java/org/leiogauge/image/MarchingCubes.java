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
 * are. The rule looks at the face's own
 * corners alone, so that the two cubes that share a face agree and the surface is closed. The joined crossings make
 * closed polygons, which are cut into fans.
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
        for (int inside = 0; inside < 256; inside++) TRIANGLES[inside] = fans(joins(inside));
    }

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

    private static int[] fans(int[] next) {
        int[] corners = new int[36];
        int size = 0;
        for (int start = 0; start < 12; start++) {
            if (next[start] < 0) continue;
            int second = next[start];
            int third = next[second];
            for (; third != start; second = third, third = next[third]) {
                corners[size++] = start;
                corners[size++] = second;
                corners[size++] = third;
            }
            clear(next, start);
        }
        return Arrays.copyOf(corners, size);
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
