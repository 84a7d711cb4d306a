// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import java.util.TreeMap;
import org.leiogauge.task.Workers;

/**
 * Form of a region's border in its slices, each slice's largest line by itself, averaged with the areas as weights.
 *
 * <ul>
 *   <li>circularity 4π A / P², 1 for a circle;
 *   <li>convexity P_hull / P, 1 for a convex line;
 *   <li>bending energy (P / 4π²) ∮ κ² ds, 1 for a circle, more for any other line. κ from the line's Fourier series with
 *       weights exp(−(k / K)² / 2), K = P / (smallest wave), which leaves out the voxels' steps;
 *   <li>radial length entropy −Σ p log₂ p over 100 equal bins of the distance from the centroid over the largest such
 *       distance, in bit; 0 for a circle. 512 even places on the line;
 *   <li>box-counting dimension ({@link BoxCounting}) with sides from 2 voxels up to a quarter of the line's extent, each
 *       √2 of the one before.
 * </ul>
 *
 * <p>Lines with fewer than 3 sides of boxes (an extent below 16 voxels) have no dimension and do not count for it. A, P of chords of
 * 2.5 voxels; mm² and mm. Source: circularity, convexity, bending energy: Rangayyan 2005, Biomedical Image Analysis, chapter 6 (common
 * practice); radial length entropy: Kilday, Palmieri and Fox 1993, doi:10.1109/42.251116; it has bins of the normalised
 * radial length, their number is ours here.
 *
 * @param dimension NaN where no line is large enough
 */
record SliceMargin(double circularity, double convexity, double bendingEnergy, double radialEntropy, double dimension) {
    private static final int BINS = 100;
    private static final int PLACES = 512;
    // Chords of so many voxels step over what is left of the voxels' steps, which would make the line too long.
    private static final double STEP = 2.5;
    private static final double ROOT = Math.sqrt(2);

    /**
     * @param lines at least one
     * @param pixelMm side of a voxel in the slice
     * @param smallestWaveMm shorter waves of the line are taken for the voxels' steps
     */
    static SliceMargin of(List<SliceContour> lines, double pixelMm, double smallestWaveMm, Workers workers) {
        List<SliceContour> largest = largestPerSlice(lines);
        List<double[]> each = workers.map(largest.size(), i -> measure(largest.get(i), pixelMm, smallestWaveMm));
        double[] sum = new double[5];
        double[] weight = new double[5];
        for (int i = 0; i < each.size(); i++)
            for (int k = 0; k < 5; k++) {
                double value = each.get(i)[k];
                if (Double.isNaN(value)) continue;
                sum[k] += value * largest.get(i).area();
                weight[k] += largest.get(i).area();
            }
        return new SliceMargin(
                sum[0] / weight[0], sum[1] / weight[1], sum[2] / weight[2], sum[3] / weight[3], sum[4] / weight[4]);
    }

    private static List<SliceContour> largestPerSlice(List<SliceContour> lines) {
        TreeMap<Integer, SliceContour> map = new TreeMap<>();
        for (SliceContour line : lines) map.merge(line.slice(), line, (a, b) -> a.area() >= b.area() ? a : b);
        return List.copyOf(map.values());
    }

    private static double[] measure(SliceContour line, double pixelMm, double smallestWaveMm) {
        SliceContour coarse = line.evenly((int) Math.max(16, Math.ceil(line.perimeter() / (STEP * pixelMm))));
        double perimeter = coarse.perimeter();
        SliceContour even = line.evenly(PLACES);
        return new double[] {
            4 * Math.PI * coarse.area() / (perimeter * perimeter),
            Math.min(1, coarse.hullPerimeter() / perimeter),
            bendingEnergy(even, perimeter / smallestWaveMm),
            radialEntropy(even),
            dimension(line, pixelMm)
        };
    }

    /**
     * @param even at even places, their number a power of 2
     * @param cut K, in waves per line
     */
    static double bendingEnergy(SliceContour even, double cut) {
        int n = even.corners();
        double[] d1x = new double[n];
        double[] d1y = new double[n];
        double[] d2x = new double[n];
        double[] d2y = new double[n];
        double[] cos = new double[n];
        double[] sin = new double[n];
        for (int i = 0; i < n; i++) {
            cos[i] = Math.cos(2 * Math.PI * i / n);
            sin[i] = Math.sin(2 * Math.PI * i / n);
        }
        int most = (int) Math.min(n / 4, Math.ceil(2.5 * cut));
        for (int k = -most; k <= most; k++) {
            double re = 0;
            double im = 0;
            for (int i = 0, at = 0; i < n; i++, at = at + k & n - 1) {
                re += even.x(i) * cos[at] + even.y(i) * sin[at];
                im += even.y(i) * cos[at] - even.x(i) * sin[at];
            }
            double weight = k / (double) n * Math.exp(-0.5 * k * k / (cut * cut));
            for (int i = 0, at = 0; i < n; i++, at = at + k & n - 1) {
                double a = weight * (re * cos[at] - im * sin[at]);
                double b = weight * (re * sin[at] + im * cos[at]);
                d1x[i] -= b;
                d1y[i] += a;
                d2x[i] -= k * a;
                d2y[i] -= k * b;
            }
        }
        double length = 0;
        double energy = 0;
        for (int i = 0; i < n; i++) {
            double speed = Math.hypot(d1x[i], d1y[i]);
            double bend = d1x[i] * d2y[i] - d1y[i] * d2x[i];
            length += speed;
            energy += bend * bend / Math.pow(speed, 5);
        }
        // the line's parameter runs from 0 to 2π in n steps
        double step = 2 * Math.PI / n;
        return length * step * energy * step / (4 * Math.PI * Math.PI);
    }

    static double radialEntropy(SliceContour even) {
        double[] centre = even.centroid();
        int n = even.corners();
        double[] r = new double[n];
        double largest = 0;
        for (int i = 0; i < n; i++) {
            r[i] = Math.hypot(even.x(i) - centre[0], even.y(i) - centre[1]);
            largest = Math.max(largest, r[i]);
        }
        int[] count = new int[BINS];
        for (double radius : r) count[(int) Math.min(BINS - 1, radius / largest * BINS)]++;
        double entropy = 0;
        for (int c : count) if (c > 0) entropy -= (double) c / n * Math.log((double) c / n) / Math.log(2);
        return entropy;
    }

    private static double dimension(SliceContour line, double pixelMm) {
        double[] sides = sides(2 * pixelMm, extent(line) / 4);
        if (sides.length < 3) return Double.NaN;
        SliceContour dense = line.evenly((int) Math.ceil(line.perimeter() / pixelMm * 4));
        double[] x = new double[dense.corners()];
        double[] y = new double[dense.corners()];
        for (int i = 0; i < x.length; i++) {
            x[i] = dense.x(i);
            y[i] = dense.y(i);
        }
        return BoxCounting.dimension(x, y, sides);
    }

    private static double[] sides(double from, double to) {
        int count = to < from ? 0 : 1 + (int) (Math.log(to / from) / Math.log(ROOT) + 1e-9);
        double[] sides = new double[count];
        for (int i = 0; i < count; i++) sides[i] = from * Math.pow(ROOT, i);
        return sides;
    }

    private static double extent(SliceContour line) {
        double minX = Double.MAX_VALUE;
        double maxX = -Double.MAX_VALUE;
        double minY = Double.MAX_VALUE;
        double maxY = -Double.MAX_VALUE;
        for (int i = 0; i < line.corners(); i++) {
            minX = Math.min(minX, line.x(i));
            maxX = Math.max(maxX, line.x(i));
            minY = Math.min(minY, line.y(i));
            maxY = Math.max(maxY, line.y(i));
        }
        return Math.min(maxX - minX, maxY - minY);
    }
}
