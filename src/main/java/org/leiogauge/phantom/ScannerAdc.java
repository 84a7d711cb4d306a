// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * The scanner's own ADC map, made as scanners make it: from the stored magnitude images, noise and all.
 *
 * <p>−slope of the least-squares line through ln S over b, in mm²/s, times the scanner's factor, rounded, from 0 to 32767; 0
 * where the first image is not above four times its noise. Source: common practice, no source.
 */
final class ScannerAdc {
    private static final double ABOVE_NOISE = 4;
    private static final double LARGEST = 32767;

    private ScannerAdc() {}

    static Volume of(SeriesImages dwi, ScannerSettings scanner, Workers workers) {
        double[] weights = weights(dwi.settings());
        float[] map = new float[dwi.grid().size().voxels()];
        int plane = dwi.grid().size().x() * dwi.grid().size().y();
        workers.forEach(dwi.grid().size().z(), z -> {
            for (int i = z * plane; i < (z + 1) * plane; i++)
                map[i] = (float) stored(dwi, i, weights, scanner.adcPerMm2PerSecond());
        });
        return new Volume(dwi.grid(), map);
    }

    private static double stored(SeriesImages dwi, int voxel, double[] weights, double factor) {
        if (dwi.images().get(0).voxels()[voxel] <= ABOVE_NOISE * dwi.noise()) return 0;
        double slope = 0;
        for (int i = 0; i < weights.length; i++)
            slope += weights[i] * StrictMath.log(Math.max(1, dwi.images().get(i).voxels()[voxel]));
        return Math.min(Math.max(Math.rint(-slope * factor), 0), LARGEST);
    }

    // What each ln S counts in the slope: (b − mean) / Σ (b − mean)².
    private static double[] weights(SeriesSettings series) {
        double[] b = series.bValues().stream().mapToDouble(Double::doubleValue).toArray();
        double mean = 0;
        for (double value : b) mean += value / b.length;
        double sum = 0;
        for (int i = 0; i < b.length; i++) {
            b[i] -= mean;
            sum += b[i] * b[i];
        }
        for (int i = 0; i < b.length; i++) b[i] /= sum;
        return b;
    }
}
