// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.Comparator;
import java.util.Deque;
import java.util.HashMap;
import java.util.IdentityHashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.IntToDoubleFunction;
import org.leiogauge.image.Mesh;
import org.leiogauge.image.Spacing;

/**
 * The convex hull of a surface mesh.
 *
 * <p>Worked out on the half indices of the mesh's vertices, which are whole numbers: which side of a plane a point lies
 * on is exact, so that the many points of a grid that share a plane do no harm. The hull of the same region in mm has the
 * same corners. Cost: n log n for the hulls of the single planes, then quickhull over their corners.
 *
 * <p>Source: Barber, Dobkin and Huhdanpaa 1996, doi:10.1145/235815.235821.
 */
final class ConvexHull {
    /** A triangle of the hull; corners anticlockwise from outside, neighbours beyond the edges ab, bc and ca. */
    private static final class Face {
        final int[] corner;
        final Face[] neighbour = new Face[3];
        final long nx;
        final long ny;
        final long nz;
        final long level;
        List<Integer> outside = new ArrayList<>();
        boolean isGone;

        Face(int[][] p, int a, int b, int c) {
            corner = new int[] {a, b, c};
            long ux = p[b][0] - p[a][0];
            long uy = p[b][1] - p[a][1];
            long uz = p[b][2] - p[a][2];
            long vx = p[c][0] - p[a][0];
            long vy = p[c][1] - p[a][1];
            long vz = p[c][2] - p[a][2];
            nx = uy * vz - uz * vy;
            ny = uz * vx - ux * vz;
            nz = ux * vy - uy * vx;
            level = nx * p[a][0] + ny * p[a][1] + nz * p[a][2];
        }

        /** Positive outside; a multiple of the distance that is the same for all points. */
        long height(int[] point) {
            return nx * point[0] + ny * point[1] + nz * point[2] - level;
        }
    }

    private final int[][] points;
    private final List<Face> faces = new ArrayList<>();
    private final Spacing spacing;

    private ConvexHull(int[][] points, Spacing spacing) {
        this.points = points;
        this.spacing = spacing;
    }

    /** Of a mesh with at least one triangle. */
    static ConvexHull of(Mesh mesh) {
        ConvexHull hull =
                new ConvexHull(cornersOfPlanes(mesh.halfIndices()), mesh.grid().spacing());
        hull.grow();
        return hull;
    }

    /** x, y, z in mm of each corner of the hull, along the grid's axes. */
    double[][] cornersMm() {
        return faces.stream()
                .flatMapToInt(f -> Arrays.stream(f.corner))
                .distinct()
                .sorted()
                .mapToObj(this::mm)
                .toArray(double[][]::new);
    }

    /** Per face the three corners in mm. */
    List<double[][]> facesMm() {
        return faces.stream()
                .map(f -> new double[][] {mm(f.corner[0]), mm(f.corner[1]), mm(f.corner[2])})
                .toList();
    }

    /** Per edge the numbers of the two faces beside it, in the order of {@link #facesMm}. */
    List<int[]> edges() {
        Map<Face, Integer> number = new IdentityHashMap<>();
        for (Face f : faces) number.put(f, number.size());
        List<int[]> edges = new ArrayList<>();
        for (Face f : faces)
            for (int e = 0; e < 3; e++)
                if (f.corner[e] < f.corner[(e + 1) % 3])
                    edges.add(new int[] {number.get(f), number.get(f.neighbour[e])});
        return edges;
    }

    /** Per edge, in the order of {@link #edges}, its two ends in the order of {@link #cornersMm}. */
    int[][] cornersOfEdges() {
        int[] used = faces.stream()
                .flatMapToInt(f -> Arrays.stream(f.corner))
                .distinct()
                .sorted()
                .toArray();
        List<int[]> ends = new ArrayList<>();
        for (Face f : faces)
            for (int e = 0; e < 3; e++) {
                int to = f.corner[(e + 1) % 3];
                if (f.corner[e] < to)
                    ends.add(new int[] {Arrays.binarySearch(used, f.corner[e]), Arrays.binarySearch(used, to)});
            }
        return ends.toArray(int[][]::new);
    }

    private double[] mm(int point) {
        int[] p = points[point];
        return new double[] {p[0] * spacing.x() / 2, p[1] * spacing.y() / 2, p[2] * spacing.z() / 2};
    }

    /** In mm³. */
    double volume() {
        long sum = 0;
        for (Face f : faces) sum += f.level;
        return sum / 48.0 * spacing.x() * spacing.y() * spacing.z();
    }

    /** In mm². */
    double area() {
        double sum = 0;
        for (Face f : faces) {
            double x = f.nx * spacing.y() * spacing.z();
            double y = f.ny * spacing.z() * spacing.x();
            double z = f.nz * spacing.x() * spacing.y();
            sum += Math.sqrt(x * x + y * y + z * z);
        }
        return sum / 8;
    }

    // Corners of the hull are corners of the hull of their own plane z = constant: most points fall away at once.
    private static int[][] cornersOfPlanes(int[] halfIndices) {
        Map<Integer, List<int[]>> planes = new HashMap<>();
        for (int i = 0; i < halfIndices.length; i += 3)
            planes.computeIfAbsent(halfIndices[i + 2], z -> new ArrayList<>())
                    .add(new int[] {halfIndices[i], halfIndices[i + 1], halfIndices[i + 2]});
        return planes.keySet().stream()
                .sorted()
                .flatMap(z -> planar(planes.get(z)).stream())
                .toArray(int[][]::new);
    }

    private static List<int[]> planar(List<int[]> points) {
        points.sort(Comparator.<int[]>comparingInt(p -> p[0]).thenComparingInt(p -> p[1]));
        List<int[]> lower = chain(points);
        Collections.reverse(points);
        List<int[]> upper = chain(points);
        if (points.size() < 2) return points;
        lower.remove(lower.size() - 1);
        upper.remove(upper.size() - 1);
        lower.addAll(upper);
        return lower;
    }

    private static List<int[]> chain(List<int[]> points) {
        List<int[]> chain = new ArrayList<>();
        for (int[] p : points) {
            while (chain.size() > 1 && turn(chain.get(chain.size() - 2), chain.get(chain.size() - 1), p) <= 0)
                chain.remove(chain.size() - 1);
            chain.add(p);
        }
        return chain;
    }

    private static long turn(int[] a, int[] b, int[] c) {
        return (long) (b[0] - a[0]) * (c[1] - a[1]) - (long) (b[1] - a[1]) * (c[0] - a[0]);
    }

    private void grow() {
        Deque<Face> todo = new ArrayDeque<>(tetrahedron());
        while (!todo.isEmpty()) {
            Face face = todo.pop();
            if (face.isGone) continue;
            if (face.outside.isEmpty()) faces.add(face);
            else add(farthest(face), face, todo);
        }
        // A face without points above it may have been seen from a later point.
        faces.removeIf(f -> f.isGone);
    }

    private int farthest(Face face) {
        int best = face.outside.get(0);
        for (int p : face.outside) if (face.height(points[p]) > face.height(points[best])) best = p;
        return best;
    }

    private List<Face> tetrahedron() {
        int n = points.length;
        int a = 0;
        int b = n - 1;
        int c = most(n, p -> distanceFromLine(a, b, p));
        Face base = new Face(points, a, b, c);
        int d = most(n, p -> Math.abs((double) base.height(points[p])));
        List<Face> start = base.height(points[d]) > 0
                ? List.of(
                        new Face(points, a, c, b),
                        new Face(points, a, b, d),
                        new Face(points, b, c, d),
                        new Face(points, c, a, d))
                : List.of(base, new Face(points, b, a, d), new Face(points, c, b, d), new Face(points, a, c, d));
        for (Face f : start)
            for (int e = 0; e < 3; e++) f.neighbour[e] = across(start, f.corner[e], f.corner[(e + 1) % 3]);
        for (int p = 0; p < n; p++) assign(p, start);
        return start;
    }

    private static Face across(List<Face> faces, int from, int to) {
        for (Face f : faces)
            for (int e = 0; e < 3; e++) if (f.corner[e] == to && f.corner[(e + 1) % 3] == from) return f;
        throw new IllegalStateException("hull is not closed");
    }

    private int most(int n, IntToDoubleFunction measure) {
        int best = 0;
        for (int p = 1; p < n; p++) if (measure.applyAsDouble(p) > measure.applyAsDouble(best)) best = p;
        return best;
    }

    private double distanceFromLine(int a, int b, int p) {
        Face f = new Face(points, a, b, p);
        return (double) f.nx * f.nx + (double) f.ny * f.ny + (double) f.nz * f.nz;
    }

    private void assign(int p, List<Face> candidates) {
        for (Face f : candidates)
            if (f.height(points[p]) > 0) {
                f.outside.add(p);
                return;
            }
    }

    /** Replaces the faces that a point sees by a cone from their rim to the point. */
    private void add(int point, Face first, Deque<Face> todo) {
        List<Face> seen = new ArrayList<>(List.of(first));
        first.isGone = true;
        Map<Integer, Face> cone = new LinkedHashMap<>();
        for (int k = 0; k < seen.size(); k++) {
            Face f = seen.get(k);
            for (int e = 0; e < 3; e++) {
                Face beyond = f.neighbour[e];
                if (beyond.isGone) continue;
                if (beyond.height(points[point]) > 0) {
                    beyond.isGone = true;
                    seen.add(beyond);
                }
            }
        }
        for (Face f : seen)
            for (int e = 0; e < 3; e++) if (!f.neighbour[e].isGone) cone.put(f.corner[e], flank(f, e, point));
        for (Face f : cone.values()) {
            f.neighbour[1] = cone.get(f.corner[1]);
            f.neighbour[1].neighbour[2] = f;
        }
        List<Face> sides = List.copyOf(cone.values());
        for (Face f : seen) for (int p : f.outside) if (p != point) assign(p, sides);
        sides.forEach(todo::push);
    }

    private Face flank(Face seen, int edge, int point) {
        int from = seen.corner[edge];
        int to = seen.corner[(edge + 1) % 3];
        Face beyond = seen.neighbour[edge];
        Face flank = new Face(points, from, to, point);
        flank.neighbour[0] = beyond;
        for (int e = 0; e < 3; e++)
            if (beyond.corner[e] == to && beyond.corner[(e + 1) % 3] == from) beyond.neighbour[e] = flank;
        return flank;
    }
}
