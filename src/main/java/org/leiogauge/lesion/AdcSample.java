// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/**
 * The ADC values that stand for a lesion: without what noise adds to their spread, and without voxels that hold other tissue.
 *
 * <p>Noise: v' = m + (v − m) √(1 − s² / V), not below m where s² exceeds V: m and V mean and variance of the lesion's values
 * within 2 voxels in the slice and 1 across, s² the mean noise variance there. So the spread is that without noise, while
 * each value keeps its side of the mean; where tissues meet V is large and v stays. Real texture finer than the
 * neighbourhood keeps its variance but not its shape.
 *
 * <p>Border: a voxel that shares a face with a voxel outside may hold tissue outside; it takes the value of the nearest voxel
 * that does not ({@link WhollyInside}), so that a rim of its own keeps its weight.
 *
 * <p>Source: shrinking towards the mean so that the variance is right: Louis 1984, Estimating a population of parameter
 * values using Bayes and empirical Bayes methods, doi:10.1080/01621459.1984.10478062; neighbourhood, border: ours, no source.
 */
final class AdcSample {
    private static final int REACH = 2;
    private static final int ACROSS = 1;
    private static final int FEWEST = 10;

    private AdcSample() {}

    /** Values of the lesion's voxels that have one, in the order of the voxels. */
    static float[] of(Volume adc, Optional<Volume> noise, Mask lesion, boolean withoutBorder) {
        Mask valued = SignalIn.valued(adc, lesion);
        Mask inner = SignalIn.valued(adc, WhollyInside.of(lesion, false));
        boolean within = withoutBorder && WhollyInside.isEnough(inner, valued);
        Mask used = within ? inner : valued;
        float[] values = noise.isPresent() ? shrunk(adc, noise.get(), used) : adc.voxels();
        int[] source = within ? WhollyInside.standIns(used, valued) : new int[0];
        float[] sample = new float[valued.count()];
        int n = 0;
        for (int i = 0; i < values.length; i++)
            if (valued.voxels()[i] != 0) sample[n++] = values[within ? source[i] : i];
        return sample;
    }

    private static float[] shrunk(Volume adc, Volume noise, Mask used) {
        float[] v = adc.voxels();
        float[] to = v.clone();
        Size size = adc.grid().size();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    int i = adc.grid().offset(x, y, z);
                    if (used.voxels()[i] != 0) to[i] = shrunk(v, noise.voxels(), used, size, x, y, z);
                }
        return to;
    }

    private static float shrunk(float[] v, float[] noise, Mask used, Size size, int x, int y, int z) {
        float own = v[(z * size.y() + y) * size.x() + x];
        int n = 0;
        double sum = 0;
        double squares = 0;
        double chance = 0;
        for (int k = Math.max(0, z - ACROSS); k <= Math.min(size.z() - 1, z + ACROSS); k++)
            for (int j = Math.max(0, y - REACH); j <= Math.min(size.y() - 1, y + REACH); j++)
                for (int i = Math.max(0, x - REACH); i <= Math.min(size.x() - 1, x + REACH); i++) {
                    int at = (k * size.y() + j) * size.x() + i;
                    if (used.voxels()[at] == 0 || !Float.isFinite(noise[at])) continue;
                    n++;
                    // about the own value, so that no digits are lost
                    double d = v[at] - own;
                    sum += d;
                    squares += d * d;
                    chance += noise[at] * noise[at];
                }
        if (n < FEWEST) return own;
        double mean = sum / n;
        double variance = (squares - sum * mean) / (n - 1);
        double kept = variance > 0 ? Math.sqrt(Math.max(0, 1 - chance / n / variance)) : 1;
        return (float) (own + mean * (1 - kept));
    }
}
