// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

/**
 * Box-counting dimension of a set of points in the plane: how fast the number of boxes that hold a point grows as the
 * boxes get smaller. 1 for a smooth line, 2 for a filled area.
 *
 * <p>D = −slope of ln N(s) against ln s by least squares, N(s) the mean number of boxes of side s over the settings' places
 * of the lattice. Over a narrow range of sides D is a measure of raggedness, not a limit.
 *
 * <p>Source: common practice; Falconer 2003, Fractal Geometry, section 3.1.
 */
final class BoxCounting {
    private static final double[] OFFSETS = {0, 0.25, 0.5, 0.75};

    private BoxCounting() {}

    /**
     * @param x places in mm; y: likewise. They must lie closer than the smallest side.
     * @param sides of the boxes in mm, 2 or more different ones
     */
    static double dimension(double[] x, double[] y, double[] sides) {
        double minX = Double.MAX_VALUE;
        double minY = Double.MAX_VALUE;
        double maxX = -Double.MAX_VALUE;
        double maxY = -Double.MAX_VALUE;
        for (int i = 0; i < x.length; i++) {
            minX = Math.min(minX, x[i]);
            maxX = Math.max(maxX, x[i]);
            minY = Math.min(minY, y[i]);
            maxY = Math.max(maxY, y[i]);
        }
        double[] logSide = new double[sides.length];
        double[] logCount = new double[sides.length];
        for (int k = 0; k < sides.length; k++) {
            int width = (int) ((maxX - minX) / sides[k]) + 2;
            int height = (int) ((maxY - minY) / sides[k]) + 2;
            long count = 0;
            for (double offset : OFFSETS) {
                double fromX = minX - offset * sides[k];
                double fromY = minY - (0.75 - offset) * sides[k];
                count += boxes(x, y, fromX, fromY, sides[k], width, new boolean[width * height]);
            }
            logSide[k] = Math.log(sides[k]);
            logCount[k] = Math.log((double) count / OFFSETS.length);
        }
        return -slope(logSide, logCount);
    }

    private static int boxes(
            double[] x, double[] y, double fromX, double fromY, double side, int width, boolean[] taken) {
        int count = 0;
        for (int i = 0; i < x.length; i++) {
            int box = (int) ((y[i] - fromY) / side) * width + (int) ((x[i] - fromX) / side);
            if (taken[box]) continue;
            taken[box] = true;
            count++;
        }
        return count;
    }

    private static double slope(double[] x, double[] y) {
        double meanX = 0;
        double meanY = 0;
        for (int i = 0; i < x.length; i++) {
            meanX += x[i] / x.length;
            meanY += y[i] / y.length;
        }
        double xy = 0;
        double xx = 0;
        for (int i = 0; i < x.length; i++) {
            xy += (x[i] - meanX) * (y[i] - meanY);
            xx += (x[i] - meanX) * (x[i] - meanX);
        }
        return xy / xx;
    }
}
