// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.image.Contour;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;

/**
 * Where a lesion's sharp surface cuts the plane of a slice: closed lines, holes among them.
 *
 * <p>Marching squares on the depth below the surface, sampled in the plane every h mm, straight between samples: the line is
 * off by about h² / 8r, r its radius of curvature. Source: common practice, no source; the ambiguous square is settled by
 * the depth at its centre.
 */
final class SliceOutline {
    private static final double FINEST_MM = 0.1;
    private static final double COARSEST_MM = 0.5;
    private static final int FEWEST_POINTS = 90;
    private static final double POINT_EVERY_MM = 1;
    // far finer than any pixel, and half the digits
    private static final double PLACES = 1e4;

    private final Grid grid;
    private final int slice;
    private final double step;
    private final int n;
    private final Index centre;
    private final double[] depth;
    private final Map<Integer, Integer> next = new LinkedHashMap<>();
    private final List<double[][]> lines = new ArrayList<>();

    private SliceOutline(Lesion lesion, Grid grid, Movement movement, int slice) {
        this.grid = grid;
        this.slice = slice;
        step = Math.max(FINEST_MM, Math.min(COARSEST_MM, lesion.reach() / 100));
        n = 2 * (int) Math.ceil(lesion.reach() / step) + 3;
        Index at = grid.index(movement.there(lesion.centre()));
        centre = new Index(at.x(), at.y(), slice);
        depth = new double[n * n];
        if (Math.abs(at.z() - slice) * grid.spacing().z() >= lesion.reach()) return;
        sample(lesion, movement);
        for (int j = 0; j < n - 1; j++) for (int i = 0; i < n - 1; i++) square(lesion, movement, i, j);
        join();
    }

    static SliceOutline of(Lesion lesion, Grid grid, Movement movement, int slice) {
        return new SliceOutline(lesion, grid, movement, slice);
    }

    /** Fine closed lines in the plane, in mm along x and y from the lesion's centre; the last point joins the first. */
    List<double[][]> lines() {
        return lines;
    }

    /** The lines with points about 1 mm apart, 90 or more, in patient space. */
    List<Contour> contours() {
        return lines.stream()
                .map(line ->
                        contour(evenly(line, Math.max(FEWEST_POINTS, (int) Math.ceil(length(line) / POINT_EVERY_MM)))))
                .toList();
    }

    /** A line in the plane as a contour in patient space. */
    Contour contour(double[][] line) {
        List<Point> points = new ArrayList<>();
        for (double[] p : line) points.add(rounded(point(p[0], p[1])));
        return new Contour(points);
    }

    private static Point rounded(Point p) {
        return new Point(
                Math.rint(p.x() * PLACES) / PLACES,
                Math.rint(p.y() * PLACES) / PLACES,
                Math.rint(p.z() * PLACES) / PLACES);
    }

    private Point point(double x, double y) {
        Vector inPlane = grid.direction().x().times(x).plus(grid.direction().y().times(y));
        return grid.point(centre).plus(inPlane);
    }

    private double mm(double node) {
        return (node - (n - 1) / 2.0) * step;
    }

    private double depth(Lesion lesion, Movement movement, double i, double j, double[] look) {
        Vector v = movement.back(point(mm(i), mm(j))).minus(lesion.centre());
        return lesion.depth(v.x(), v.y(), v.z(), look);
    }

    private void sample(Lesion lesion, Movement movement) {
        double[] look = new double[2];
        for (int j = 0; j < n; j++) for (int i = 0; i < n; i++) depth[j * n + i] = depth(lesion, movement, i, j, look);
    }

    // Sides of the square from node (i, j): 0 below, 1 right, 2 above, 3 left. A line runs with the inside on its left.
    private void square(Lesion lesion, Movement movement, int i, int j) {
        boolean[] in = {isIn(i, j), isIn(i + 1, j), isIn(i + 1, j + 1), isIn(i, j + 1)};
        int crossings = 0;
        for (int side = 0; side < 4; side++) if (in[side] != in[(side + 1) % 4]) crossings++;
        if (crossings == 0) return;
        boolean isJoined = crossings == 4 && depth(lesion, movement, i + 0.5, j + 0.5, new double[2]) >= 0;
        for (int side = 0; side < 4; side++) {
            // going round against the clock, the line enters where the inside ends
            if (!in[side] || in[(side + 1) % 4]) continue;
            int out = side;
            if (crossings == 2) do out = (out + 3) % 4; while (in[out] == in[(out + 1) % 4]);
            else out = isJoined ? (side + 1) % 4 : (side + 3) % 4;
            next.put(edge(i, j, side), edge(i, j, out));
        }
    }

    private boolean isIn(int i, int j) {
        return depth[j * n + i] >= 0;
    }

    // An edge has the number of its lower left node, twice, and one more if it runs along y.
    private int edge(int i, int j, int side) {
        return switch (side) {
            case 0 -> 2 * (j * n + i);
            case 1 -> 2 * (j * n + i + 1) + 1;
            case 2 -> 2 * ((j + 1) * n + i);
            default -> 2 * (j * n + i) + 1;
        };
    }

    private void join() {
        while (!next.isEmpty()) {
            int first = next.keySet().iterator().next();
            List<double[]> line = new ArrayList<>();
            for (Integer edge = first; edge != null; edge = next.remove(edge))
                if (line.isEmpty() || edge != first) line.add(crossing(edge));
            double[][] closed = line.toArray(double[][]::new);
            // dust where the plane only touches the surface
            if (closed.length > 3 && Math.abs(area(closed)) > step * step) lines.add(closed);
        }
    }

    private double[] crossing(int edge) {
        int node = edge / 2;
        int other = node + (edge % 2 == 0 ? 1 : n);
        double share = depth[node] / (depth[node] - depth[other]);
        double i = node % n;
        double j = node / n;
        return edge % 2 == 0 ? new double[] {mm(i + share), mm(j)} : new double[] {mm(i), mm(j + share)};
    }

    /** Area inside a closed line, in mm²; negative if it runs clockwise. */
    static double area(double[][] line) {
        double sum = 0;
        for (int i = 0; i < line.length; i++) {
            double[] a = line[i];
            double[] b = line[(i + 1) % line.length];
            sum += a[0] * b[1] - b[0] * a[1];
        }
        return sum / 2;
    }

    static double length(double[][] line) {
        double sum = 0;
        for (int i = 0; i < line.length; i++) sum += distance(line[i], line[(i + 1) % line.length]);
        return sum;
    }

    private static double distance(double[] a, double[] b) {
        return Math.hypot(a[0] - b[0], a[1] - b[1]);
    }

    /** So many points along a closed line, even steps apart. */
    static double[][] evenly(double[][] line, int count) {
        double[][] points = new double[count][];
        double every = length(line) / count;
        double passed = 0;
        int at = 0;
        for (int i = 0; i < count; i++) {
            double wanted = i * every;
            double piece = distance(line[at], line[(at + 1) % line.length]);
            while (passed + piece < wanted && at < line.length - 1) {
                passed += piece;
                at++;
                piece = distance(line[at], line[(at + 1) % line.length]);
            }
            double share = piece > 0 ? Math.min(1, (wanted - passed) / piece) : 0;
            double[] a = line[at];
            double[] b = line[(at + 1) % line.length];
            points[i] = new double[] {a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])};
        }
        return points;
    }
}
