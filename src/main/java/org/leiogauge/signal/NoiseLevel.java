// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.Arrays;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;

/**
 * Standard deviation of the noise in a region, in the image's own unit.
 *
 * <p>In each slice the second difference along x of the second difference along y, which planes and slow changes leave
 * at 0, has 6 times the noise's standard deviation; the median of its size over 0.6745 keeps edges out. Not measured
 * with fewer than 25 voxels whose eight neighbours in the slice belong to the region. Too low for an image that was
 * interpolated in its slices, since neighbours then share their noise.
 *
 * <p>Source: Immerkær 1996, Fast noise variance estimation, doi:10.1006/cviu.1996.0060; with the median for the mean.
 */
public final class NoiseLevel {
    private static final int FEWEST = 25;
    // Median of the size of a standard normal variable.
    private static final double NORMAL_MEDIAN = 0.6744897501960817;

    private NoiseLevel() {}

    public static Measurement of(Volume image, Mask region) {
        Size size = image.grid().size();
        if (!region.grid().size().equals(size))
            throw new IllegalArgumentException("region must have the image's size " + size + ", got "
                    + region.grid().size());
        float[] v = image.voxels();
        double[] found = new double[region.count()];
        int n = 0;
        int w = size.x();
        for (int z = 0; z < size.z(); z++)
            for (int y = 1; y < size.y() - 1; y++)
                for (int x = 1; x < w - 1; x++) {
                    int i = image.grid().offset(x, y, z);
                    if (!isWhole(region.voxels(), i, w)) continue;
                    double corners = (double) v[i - w - 1] + v[i - w + 1] + v[i + w - 1] + v[i + w + 1];
                    double edges = (double) v[i - w] + v[i + w] + v[i - 1] + v[i + 1];
                    double d = corners - 2 * edges + 4.0 * v[i];
                    if (!Double.isNaN(d)) found[n++] = Math.abs(d) / 6;
                }
        if (n < FEWEST)
            return new Measurement.NotMeasured("only " + n + " voxels with all neighbours, " + FEWEST + " needed");
        Arrays.sort(found, 0, n);
        return Measurement.of(
                (found[(n - 1) / 2] + found[n / 2]) / 2 / NORMAL_MEDIAN, "the differences are not finite");
    }

    private static boolean isWhole(byte[] mask, int i, int w) {
        return (mask[i - w - 1]
                        & mask[i - w]
                        & mask[i - w + 1]
                        & mask[i - 1]
                        & mask[i]
                        & mask[i + 1]
                        & mask[i + w - 1]
                        & mask[i + w]
                        & mask[i + w + 1])
                != 0;
    }
}
