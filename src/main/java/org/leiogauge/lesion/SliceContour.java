// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;

/**
 * One closed border line of a region in one slice: corners in mm in the slice's plane, anticlockwise about the region.
 *
 * <p>A polygon: its last corner joins its first. Read only.
 */
final class SliceContour {
    private final int slice;
    private final double[] x;
    private final double[] y;

    /** @param x handed over, not copied; y: likewise, of the same length, 3 or more */
    SliceContour(int slice, double[] x, double[] y) {
        if (x.length != y.length || x.length < 3)
            throw new IllegalArgumentException(
                    "x and y must hold 3 or more corners, got " + x.length + ", " + y.length);
        this.slice = slice;
        this.x = x;
        this.y = y;
    }

    int slice() {
        return slice;
    }

    int corners() {
        return x.length;
    }

    double x(int corner) {
        return x[corner];
    }

    double y(int corner) {
        return y[corner];
    }

    /** In mm²; negative for the border of a hole. */
    double area() {
        double sum = 0;
        for (int i = 0, j = x.length - 1; i < x.length; j = i++) sum += x[j] * y[i] - x[i] * y[j];
        return sum / 2;
    }

    /** In mm. */
    double perimeter() {
        double sum = 0;
        for (int i = 0, j = x.length - 1; i < x.length; j = i++) sum += Math.hypot(x[i] - x[j], y[i] - y[j]);
        return sum;
    }

    /** Centre of mass of the area inside. */
    double[] centroid() {
        double sumX = 0;
        double sumY = 0;
        // about the first corner, so that far-away places cost no digits
        for (int i = 0, j = x.length - 1; i < x.length; j = i++) {
            double cross = (x[j] - x[0]) * (y[i] - y[0]) - (x[i] - x[0]) * (y[j] - y[0]);
            sumX += (x[i] + x[j] - 2 * x[0]) * cross;
            sumY += (y[i] + y[j] - 2 * y[0]) * cross;
        }
        double area = area();
        return new double[] {x[0] + sumX / (6 * area), y[0] + sumY / (6 * area)};
    }

    /** So many points at even steps along the line, from the first corner on. */
    SliceContour evenly(int count) {
        double[] toX = new double[count];
        double[] toY = new double[count];
        double step = perimeter() / count;
        double gone = 0;
        int k = 0;
        for (int i = 0; i < x.length && k < count; i++) {
            int j = (i + 1) % x.length;
            double length = Math.hypot(x[j] - x[i], y[j] - y[i]);
            for (; k < count && k * step <= gone + length; k++) {
                double t = length > 0 ? (k * step - gone) / length : 0;
                toX[k] = x[i] + t * (x[j] - x[i]);
                toY[k] = y[i] + t * (y[j] - y[i]);
            }
            gone += length;
        }
        // rounding of the sums may leave the last point out: it then lies at the first corner
        Arrays.fill(toX, k, count, x[0]);
        Arrays.fill(toY, k, count, y[0]);
        return new SliceContour(slice, toX, toY);
    }

    /** Length of the convex hull's border, in mm. */
    double hullPerimeter() {
        Integer[] order = new Integer[x.length];
        Arrays.setAll(order, i -> i);
        Arrays.sort(order, (a, b) -> x[a] != x[b] ? Double.compare(x[a], x[b]) : Double.compare(y[a], y[b]));
        int[] hull = new int[2 * x.length + 1];
        int n = 0;
        for (int i : order) n = push(hull, n, 0, i);
        int lower = n - 1;
        for (int i = order.length - 2; i >= 0; i--) n = push(hull, n, lower, order[i]);
        double sum = 0;
        for (int i = 1; i < n; i++) sum += Math.hypot(x[hull[i]] - x[hull[i - 1]], y[hull[i]] - y[hull[i - 1]]);
        return sum;
    }

    // Andrew's chain: what would make a right turn goes.
    private int push(int[] hull, int n, int floor, int i) {
        while (n >= floor + 2 && turn(hull[n - 2], hull[n - 1], i) <= 0) n--;
        hull[n] = i;
        return n + 1;
    }

    private double turn(int a, int b, int c) {
        return (x[b] - x[a]) * (y[c] - y[a]) - (x[c] - x[a]) * (y[b] - y[a]);
    }
}
