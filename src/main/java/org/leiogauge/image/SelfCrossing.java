// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;

/**
 * Whether a closed line crosses itself, seen along the axis in which it reaches least far.
 *
 * <p>Two edges that are not neighbours and of which each has the ends of the other on both sides. Edges are compared if
 * their extents overlap, so that the cost stays near n log n for what people draw.
 */
public final class SelfCrossing {
    // A line of so many points was not drawn by hand; comparing all of its edges could take for ever.
    private static final int MOST_POINTS = 20_000;

    private SelfCrossing() {}

    /** False also for a line of more than 20 000 points. */
    public static boolean of(Contour contour) {
        List<Point> points = contour.points();
        if (points.size() > MOST_POINTS) return false;
        double[][] flat = flat(points);
        Integer[] order = new Integer[flat.length];
        for (int i = 0; i < order.length; i++) order[i] = i;
        Arrays.sort(order, Comparator.comparingDouble(i -> low(flat, i)));
        for (int a = 0; a < order.length; a++) {
            double high = Math.max(flat[order[a]][0], flat[(order[a] + 1) % flat.length][0]);
            for (int b = a + 1; b < order.length && low(flat, order[b]) <= high; b++)
                if (cross(flat, order[a], order[b])) return true;
        }
        return false;
    }

    private static double low(double[][] flat, int i) {
        return Math.min(flat[i][0], flat[(i + 1) % flat.length][0]);
    }

    private static double[][] flat(List<Point> points) {
        double[][] all =
                points.stream().map(p -> new double[] {p.x(), p.y(), p.z()}).toArray(double[][]::new);
        double[] extent = new double[3];
        for (int axis = 0; axis < 3; axis++) {
            int a = axis;
            extent[a] = Arrays.stream(all).mapToDouble(p -> p[a]).max().orElseThrow()
                    - Arrays.stream(all).mapToDouble(p -> p[a]).min().orElseThrow();
        }
        int least = extent[2] <= extent[0] && extent[2] <= extent[1] ? 2 : extent[1] <= extent[0] ? 1 : 0;
        int first = least == 0 ? 1 : 0;
        int second = least == 2 ? 1 : 2;
        return Arrays.stream(all).map(p -> new double[] {p[first], p[second]}).toArray(double[][]::new);
    }

    private static boolean cross(double[][] flat, int i, int j) {
        int n = flat.length;
        if (i == j || (i + 1) % n == j || (j + 1) % n == i) return false;
        double[] a = flat[i];
        double[] b = flat[(i + 1) % n];
        double[] c = flat[j];
        double[] d = flat[(j + 1) % n];
        return side(a, b, c) * side(a, b, d) < 0 && side(c, d, a) * side(c, d, b) < 0;
    }

    private static double side(double[] a, double[] b, double[] p) {
        return (b[0] - a[0]) * (p[1] - a[1]) - (b[1] - a[1]) * (p[0] - a[0]);
    }
}
