// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;

/**
 * The voxels of a region whose intensity lies in the range and is no outlier.
 *
 * <p>Kept: low ≤ x ≤ high and |x − μ| ≤ k σ, with μ and σ the mean and the population standard deviation of the whole
 * region; both where both are asked for. A voxel without a value (NaN) is left out.
 *
 * <p>Source: IBSI reference manual, re-segmentation (IFBW; USB3 range, 7ACA outliers).
 */
final class Resegmentation {
    private Resegmentation() {}

    /** The region itself where all its voxels are kept. */
    static Mask of(Intensities intensities, Mask region, Settings.Resegment how) {
        double low = how.range().map(Settings.Range::low).orElse(Double.NEGATIVE_INFINITY);
        double high = how.range().map(Settings.Range::high).orElse(Double.POSITIVE_INFINITY);
        if (how.outliers().isPresent()) {
            double[] meanAndDeviation = meanAndDeviation(intensities, region);
            double reach = how.outliers().getAsDouble() * meanAndDeviation[1];
            low = Math.max(low, meanAndDeviation[0] - reach);
            high = Math.min(high, meanAndDeviation[0] + reach);
        }
        return keepsAll(intensities, region, low, high) ? region : kept(intensities, region, low, high);
    }

    private static boolean keepsAll(Intensities intensities, Mask region, double low, double high) {
        int[] lost = {0};
        intensities.forEach(region, x -> lost[0] += x >= low && x <= high ? 0 : 1);
        return lost[0] == 0;
    }

    private static Mask kept(Intensities intensities, Mask region, double low, double high) {
        Size size = region.grid().size();
        byte[] inside = region.voxels();
        float[] all = intensities.voxels();
        byte[] kept = new byte[inside.length];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                int row = intensities.row(y, z);
                for (int x = 0; x < size.x(); x++, i++)
                    kept[i] = (byte) (inside[i] != 0 && all[row + x] >= low && all[row + x] <= high ? 1 : 0);
            }
        return new Mask(region.grid(), kept);
    }

    private static double[] meanAndDeviation(Intensities intensities, Mask region) {
        double[] sum = {0, 0};
        intensities.forEach(region, x -> {
            sum[0] += Float.isNaN(x) ? 0 : x;
            sum[1] += Float.isNaN(x) ? 0 : 1;
        });
        double mean = sum[0] / sum[1];
        double[] squares = {0};
        intensities.forEach(region, x -> squares[0] += Float.isNaN(x) ? 0 : (x - mean) * (x - mean));
        return new double[] {mean, Math.sqrt(squares[0] / sum[1])};
    }
}
