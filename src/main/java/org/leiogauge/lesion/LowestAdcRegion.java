// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;

/**
 * The smallest mean of a map over a ball that lies wholly in a region.
 *
 * <p>The ball about a voxel holds the voxels whose centres lie within the radius of its own; where slices are thicker than
 * the radius it is a disc in one slice. Voxels without a value count as outside. Not measured if no ball fits. Cost: sums
 * along x make it one step per row of the ball and voxel of the region.
 *
 * <p>Of many means the smallest is one that noise has lowered. With the noise known, the smallest mean a becomes m + (a − m)
 * √(1 − v / V): m and V mean and variance of the balls' means, v the part of V that noise makes, the mean of Σσ² / n² over
 * the balls.
 *
 * <p>Source: common practice, no source; shrinking towards the mean so that the variance is right: Louis 1984, Estimating a
 * population of parameter values using Bayes and empirical Bayes methods, doi:10.1080/01621459.1984.10478062.
 */
final class LowestAdcRegion {
    /** One row of the ball: x from -half to half at (y, z) from its centre. */
    private record Row(int y, int z, int half) {}

    private LowestAdcRegion() {}

    /** @param noise standard deviation of the noise, voxel by voxel; empty: nothing is taken off */
    static Measurement find(Volume map, Optional<Volume> noise, Mask region, double radiusMm) {
        Measurement.NotMeasured none = new Measurement.NotMeasured(
                String.format(Locale.ROOT, "no ball of %.3g mm radius fits into what is left of the lesion", radiusMm));
        if (region.isEmpty()) return none;
        Box box = region.boundingBox().orElseThrow();
        Size size = box.size();
        Volume part = map.crop(box);
        List<Row> rows = rows(map.grid().spacing(), radiusMm);
        int voxels = rows.stream().mapToInt(row -> 2 * row.half() + 1).sum();
        int w = size.x() + 1;
        // Along each row of the box: sum of the values and number of voxels before x.
        double[] sums = new double[w * size.y() * size.z()];
        int[] counts = new int[sums.length];
        sumRows(part, region.crop(box), sums, counts);
        double[] noises = noise.map(n -> squares(n.crop(box), region.crop(box))).orElse(new double[sums.length]);
        Means means = new Means();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    double sum = 0;
                    double square = 0;
                    boolean fits = true;
                    for (Row row : rows) {
                        int j = y + row.y();
                        int k = z + row.z();
                        int from = x - row.half();
                        int to = x + row.half() + 1;
                        fits = j >= 0 && j < size.y() && k >= 0 && k < size.z() && from >= 0 && to <= size.x();
                        if (!fits) break;
                        int at = (k * size.y() + j) * w;
                        fits = counts[at + to] - counts[at + from] == to - from;
                        if (!fits) break;
                        sum += sums[at + to] - sums[at + from];
                        square += noises[at + to] - noises[at + from];
                    }
                    if (fits) means.add(sum / voxels, square / voxels / voxels);
                }
        return means.count == 0 ? none : new Measurement.Measured(means.lowest());
    }

    /** The means over all balls. */
    private static final class Means {
        private int count;
        private double least = Double.POSITIVE_INFINITY;
        private double sum;
        private double squares;
        private double noise;

        void add(double mean, double variance) {
            count++;
            least = Math.min(least, mean);
            sum += mean;
            squares += mean * mean;
            noise += variance;
        }

        double lowest() {
            double mean = sum / count;
            double variance = squares / count - mean * mean;
            if (noise == 0 || !(variance > 0)) return least;
            return mean + (least - mean) * Math.sqrt(Math.max(0, 1 - noise / count / variance));
        }
    }

    // Along each row of the box: sum of the noise variances before x.
    private static double[] squares(Volume noise, Mask region) {
        float[] v = noise.voxels();
        float[] squares = new float[v.length];
        for (int i = 0; i < v.length; i++) squares[i] = Float.isFinite(v[i]) ? v[i] * v[i] : 0;
        double[] sums = new double
                [(noise.grid().size().x() + 1)
                        * noise.grid().size().y()
                        * noise.grid().size().z()];
        sumRows(new Volume(noise.grid(), squares), region, sums, new int[sums.length]);
        return sums;
    }

    // The longest rows first: what does not fit is given up early.
    private static List<Row> rows(Spacing spacing, double radius) {
        List<Row> rows = new ArrayList<>();
        int reachY = (int) Math.floor(radius / spacing.y() + 1e-9);
        int reachZ = (int) Math.floor(radius / spacing.z() + 1e-9);
        for (int z = -reachZ; z <= reachZ; z++)
            for (int y = -reachY; y <= reachY; y++) {
                double rest = radius * radius - z * z * spacing.z() * spacing.z() - y * y * spacing.y() * spacing.y();
                if (rest >= -1e-9)
                    rows.add(new Row(y, z, (int) Math.floor(Math.sqrt(Math.max(0, rest)) / spacing.x() + 1e-9)));
            }
        rows.sort((a, b) -> Integer.compare(b.half(), a.half()));
        return rows;
    }

    private static void sumRows(Volume part, Mask region, double[] sums, int[] counts) {
        Size size = part.grid().size();
        int w = size.x() + 1;
        for (int row = 0; row < size.y() * size.z(); row++)
            for (int x = 0; x < size.x(); x++) {
                int i = row * size.x() + x;
                int at = row * w + x;
                boolean in = region.voxels()[i] != 0 && Float.isFinite(part.voxels()[i]);
                sums[at + 1] = sums[at] + (in ? part.voxels()[i] : 0);
                counts[at + 1] = counts[at] + (in ? 1 : 0);
            }
    }
}
