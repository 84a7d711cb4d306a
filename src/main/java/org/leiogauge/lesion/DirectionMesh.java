// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;

/** Directions spread evenly over the sphere, with their neighbours: an icosahedron whose triangles are cut in four, again and again. */
final class DirectionMesh {
    /** 2562 directions, 4° apart. */
    static final DirectionMesh STANDARD = new DirectionMesh(4);

    private final List<double[]> directions = new ArrayList<>();
    private final int[][] neighbours;
    private final List<int[]> triangles;

    private DirectionMesh(int cuts) {
        List<int[]> triangles = icosahedron();
        for (int i = 0; i < cuts; i++) triangles = cut(triangles);
        this.triangles = triangles;
        List<List<Integer>> found = new ArrayList<>();
        for (int i = 0; i < directions.size(); i++) found.add(new ArrayList<>());
        // each side belongs to two triangles, once in each sense
        for (int[] t : triangles) for (int k = 0; k < 3; k++) found.get(t[k]).add(t[(k + 1) % 3]);
        neighbours = found.stream()
                .map(list -> list.stream().mapToInt(Integer::intValue).toArray())
                .toArray(int[][]::new);
    }

    int count() {
        return directions.size();
    }

    /** x, y, z: read only. */
    double[] direction(int i) {
        return directions.get(i);
    }

    /** Three directions each, anticlockwise from outside: read only. */
    List<int[]> triangles() {
        return triangles;
    }

    /** Read only. */
    int[] neighbours(int i) {
        return neighbours[i];
    }

    // The corners are (0, ±1, ±g) and its turns, g the golden ratio; triangles are three corners at the distance of 2.
    private List<int[]> icosahedron() {
        double g = (1 + Math.sqrt(5)) / 2;
        for (int axis = 0; axis < 3; axis++)
            for (int sign = 0; sign < 4; sign++) {
                double[] p = new double[3];
                p[(axis + 1) % 3] = (sign & 1) == 0 ? 1 : -1;
                p[(axis + 2) % 3] = (sign & 2) == 0 ? g : -g;
                add(p);
            }
        double side = 4 / (g * g + 1);
        List<int[]> triangles = new ArrayList<>();
        for (int a = 0; a < 12; a++)
            for (int b = a + 1; b < 12; b++)
                for (int c = b + 1; c < 12; c++)
                    if (isSide(a, b, side) && isSide(b, c, side) && isSide(c, a, side)) triangles.add(turned(a, b, c));
        return triangles;
    }

    private int add(double[] p) {
        double length = Math.sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2]);
        directions.add(new double[] {p[0] / length, p[1] / length, p[2] / length});
        return directions.size() - 1;
    }

    private boolean isSide(int a, int b, double square) {
        double sum = 0;
        for (int k = 0; k < 3; k++)
            sum += Math.pow(directions.get(a)[k] - directions.get(b)[k], 2);
        return Math.abs(sum - square) < 1e-9;
    }

    private int[] turned(int a, int b, int c) {
        double[] p = directions.get(a);
        double[] q = directions.get(b);
        double[] r = directions.get(c);
        double volume = p[0] * (q[1] * r[2] - q[2] * r[1])
                + p[1] * (q[2] * r[0] - q[0] * r[2])
                + p[2] * (q[0] * r[1] - q[1] * r[0]);
        return volume > 0 ? new int[] {a, b, c} : new int[] {a, c, b};
    }

    private List<int[]> cut(List<int[]> triangles) {
        Map<Long, Integer> middles = new HashMap<>();
        List<int[]> finer = new ArrayList<>();
        for (int[] t : triangles) {
            int ab = middle(middles, t[0], t[1]);
            int bc = middle(middles, t[1], t[2]);
            int ca = middle(middles, t[2], t[0]);
            finer.add(new int[] {t[0], ab, ca});
            finer.add(new int[] {ab, t[1], bc});
            finer.add(new int[] {ca, bc, t[2]});
            finer.add(new int[] {ab, bc, ca});
        }
        return finer;
    }

    private int middle(Map<Long, Integer> middles, int a, int b) {
        long key = (long) Math.min(a, b) << 32 | Math.max(a, b);
        return middles.computeIfAbsent(key, k -> {
            double[] p = directions.get(a);
            double[] q = directions.get(b);
            return add(new double[] {p[0] + q[0], p[1] + q[1], p[2] + q[2]});
        });
    }
}
