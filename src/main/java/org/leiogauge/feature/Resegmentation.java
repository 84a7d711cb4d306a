// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.Mask;

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

    static Mask of(float[] intensities, Mask region, Settings.Resegment how) {
        double low = how.range().map(Settings.Range::low).orElse(Double.NEGATIVE_INFINITY);
        double high = how.range().map(Settings.Range::high).orElse(Double.POSITIVE_INFINITY);
        if (how.outliers().isPresent()) {
            double[] meanAndDeviation = meanAndDeviation(intensities, region.voxels());
            double reach = how.outliers().getAsDouble() * meanAndDeviation[1];
            low = Math.max(low, meanAndDeviation[0] - reach);
            high = Math.min(high, meanAndDeviation[0] + reach);
        }
        byte[] kept = new byte[intensities.length];
        byte[] inside = region.voxels();
        for (int i = 0; i < kept.length; i++)
            kept[i] = (byte) (inside[i] != 0 && intensities[i] >= low && intensities[i] <= high ? 1 : 0);
        return new Mask(region.grid(), kept);
    }

    private static double[] meanAndDeviation(float[] intensities, byte[] inside) {
        double sum = 0;
        int count = 0;
        for (int i = 0; i < inside.length; i++) {
            if (inside[i] == 0 || Float.isNaN(intensities[i])) continue;
            sum += intensities[i];
            count++;
        }
        double mean = sum / count;
        double squares = 0;
        for (int i = 0; i < inside.length; i++)
            if (inside[i] != 0 && !Float.isNaN(intensities[i]))
                squares += (intensities[i] - mean) * (intensities[i] - mean);
        return new double[] {mean, Math.sqrt(squares / count)};
    }
}
