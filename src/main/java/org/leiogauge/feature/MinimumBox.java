// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Set;

/**
 * The box of least volume, in any orientation, that holds a convex hull: the edges' lengths in mm.
 *
 * <p>For each direction of a face of the hull the least rectangle about the hull's shadow along it is found, of which one
 * side lies along an edge of the shadow. The best of these boxes is then turned by ever smaller angles while it gets
 * smaller, because the least box of some hulls lies on no face. That the box found is the least of all is certain only
 * where it lies on a face. Cost: faces × (faces + corners of the shadow).
 *
 * <p>Source: O'Rourke 1985, doi:10.1007/BF00991005 (the least box); Freeman and Shapira 1975,
 * doi:10.1145/360881.360919 (the least rectangle).
 */
record MinimumBox(double a, double b, double c) {
    private static final double FIRST_TURN = 0.1;
    private static final double LAST_TURN = 1e-6;

    double volume() {
        return a * b * c;
    }

    double area() {
        return 2 * (a * b + b * c + c * a);
    }

    static MinimumBox of(ConvexHull hull) {
        double[][] corners = hull.cornersMm();
        List<double[]> normals = new ArrayList<>();
        for (double[][] face : hull.facesMm())
            normals.add(unit(cross(minus(face[1], face[0]), minus(face[2], face[0]))));
        Framed best = new Framed(corners, new double[][] {{1, 0, 0}, {0, 1, 0}, {0, 0, 1}});
        List<int[]> edges = hull.edges();
        int[][] cornersOfEdges = hull.cornersOfEdges();
        for (double[] normal : distinct(normals)) {
            Framed framed = onFace(normal, normals, edges, cornersOfEdges, corners);
            if (framed.volume() < best.volume()) best = framed;
        }
        return turned(best, corners).box();
    }

    /** A box along three directions at right angles. */
    private record Framed(double[][] frame, MinimumBox box) {
        Framed(double[][] corners, double[][] frame) {
            this(
                    frame,
                    new MinimumBox(extent(corners, frame[0]), extent(corners, frame[1]), extent(corners, frame[2])));
        }

        double volume() {
            return box.volume();
        }
    }

    // Faces that look the same or the opposite way give one box; faces of a grid often do.
    private static List<double[]> distinct(List<double[]> normals) {
        Set<List<Long>> seen = new LinkedHashSet<>();
        List<double[]> kept = new ArrayList<>();
        for (double[] n : normals) {
            double sign = Math.abs(n[0]) > 1e-9 ? n[0] : Math.abs(n[1]) > 1e-9 ? n[1] : n[2];
            double scale = Math.signum(sign) * 1e8;
            if (seen.add(List.of(Math.round(n[0] * scale), Math.round(n[1] * scale), Math.round(n[2] * scale))))
                kept.add(n);
        }
        return kept;
    }

    private static Framed onFace(
            double[] normal, List<double[]> normals, List<int[]> edges, int[][] cornersOfEdges, double[][] corners) {
        boolean[] isUp = new boolean[normals.size()];
        for (int f = 0; f < isUp.length; f++) isUp[f] = dot(normals.get(f), normal) > 1e-12;
        double[] u = unit(cross(normal, Math.abs(normal[0]) < 0.6 ? new double[] {1, 0, 0} : new double[] {0, 1, 0}));
        double[] v = cross(normal, u);
        boolean[] isOnRim = new boolean[corners.length];
        for (int e = 0; e < edges.size(); e++) {
            if (isUp[edges.get(e)[0]] == isUp[edges.get(e)[1]]) continue;
            isOnRim[cornersOfEdges[e][0]] = true;
            isOnRim[cornersOfEdges[e][1]] = true;
        }
        List<double[]> shadow = new ArrayList<>();
        for (int i = 0; i < corners.length; i++)
            if (isOnRim[i]) shadow.add(new double[] {dot(corners[i], u), dot(corners[i], v)});
        double[] side = leastRectangle(outline(shadow));
        double[] along = {
            side[0] * u[0] + side[1] * v[0], side[0] * u[1] + side[1] * v[1], side[0] * u[2] + side[1] * v[2]
        };
        return new Framed(corners, new double[][] {normal, along, cross(normal, along)});
    }

    private static List<double[]> outline(List<double[]> points) {
        points.sort(Comparator.<double[]>comparingDouble(p -> p[0]).thenComparingDouble(p -> p[1]));
        List<double[]> hull = new ArrayList<>();
        for (int pass = 0; pass < 2; pass++) {
            int start = hull.size();
            for (int k = 0; k < points.size(); k++) {
                double[] p = points.get(pass == 0 ? k : points.size() - 1 - k);
                while (hull.size() - start > 1 && turn(hull.get(hull.size() - 2), hull.get(hull.size() - 1), p) <= 0)
                    hull.remove(hull.size() - 1);
                hull.add(p);
            }
            hull.remove(hull.size() - 1);
        }
        return hull;
    }

    private static double turn(double[] a, double[] b, double[] c) {
        return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0]);
    }

    /** The direction of one side of the least rectangle; three calipers go round with the side. */
    private static double[] leastRectangle(List<double[]> hull) {
        int n = hull.size();
        int far = 1;
        int right = 1;
        int left = 1;
        double least = Double.POSITIVE_INFINITY;
        double[] best = {1, 0};
        for (int k = 0; k < n; k++) {
            double[] a = hull.get(k);
            double[] b = hull.get((k + 1) % n);
            double length = Math.hypot(b[0] - a[0], b[1] - a[1]);
            double[] s = {(b[0] - a[0]) / length, (b[1] - a[1]) / length};
            right = advance(hull, right, s[0], s[1]);
            far = advance(hull, k == 0 ? right : far, -s[1], s[0]);
            left = advance(hull, k == 0 ? far : left, -s[0], -s[1]);
            double width = at(hull, right, s[0], s[1]) - at(hull, left, s[0], s[1]);
            double height = at(hull, far, -s[1], s[0]) - at(hull, k, -s[1], s[0]);
            if (width * height < least) {
                least = width * height;
                best = s;
            }
        }
        return best;
    }

    private static int advance(List<double[]> hull, int from, double x, double y) {
        int n = hull.size();
        int at = from % n;
        for (int steps = 0; steps < n && at(hull, (at + 1) % n, x, y) >= at(hull, at, x, y); steps++) at = (at + 1) % n;
        return at;
    }

    private static double at(List<double[]> hull, int k, double x, double y) {
        return hull.get(k)[0] * x + hull.get(k)[1] * y;
    }

    private static Framed turned(Framed start, double[][] corners) {
        Framed best = start;
        for (double angle = FIRST_TURN; angle > LAST_TURN; ) {
            Framed better = best;
            for (int axis = 0; axis < 3; axis++)
                for (int sign = -1; sign <= 1; sign += 2) {
                    Framed candidate = new Framed(corners, turn(best.frame, axis, sign * angle));
                    if (candidate.volume() < better.volume() * (1 - 1e-12)) better = candidate;
                }
            if (better == best) angle /= 2;
            best = better;
        }
        return best;
    }

    private static double[][] turn(double[][] frame, int axis, double angle) {
        double[] p = frame[(axis + 1) % 3];
        double[] q = frame[(axis + 2) % 3];
        double c = Math.cos(angle);
        double s = Math.sin(angle);
        double[] turned = unit(new double[] {c * p[0] + s * q[0], c * p[1] + s * q[1], c * p[2] + s * q[2]});
        return new double[][] {frame[axis], turned, cross(frame[axis], turned)};
    }

    private static double extent(double[][] corners, double[] direction) {
        double low = Double.POSITIVE_INFINITY;
        double high = Double.NEGATIVE_INFINITY;
        for (double[] p : corners) {
            double at = dot(p, direction);
            low = Math.min(low, at);
            high = Math.max(high, at);
        }
        return high - low;
    }

    private static double dot(double[] a, double[] b) {
        return a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
    }

    private static double[] minus(double[] a, double[] b) {
        return new double[] {a[0] - b[0], a[1] - b[1], a[2] - b[2]};
    }

    private static double[] cross(double[] a, double[] b) {
        return new double[] {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
    }

    private static double[] unit(double[] a) {
        double length = Math.sqrt(dot(a, a));
        return new double[] {a[0] / length, a[1] / length, a[2] / length};
    }
}
