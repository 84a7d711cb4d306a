// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import java.util.Optional;
import java.util.stream.IntStream;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * The ADC values that stand for a lesion: without what noise adds to their spread, and without voxels that hold other tissue.
 *
 * <p>Noise: v' = m + (v − m) √(1 − s² / V), not below m where s² exceeds V: m and V mean and variance of the lesion's values
 * within 2 voxels in the slice and 1 across, s² the mean noise variance there. So the spread is that without noise, while
 * each value keeps its side of the mean; where tissues meet V is large and v stays. Real texture finer than the
 * neighbourhood keeps its variance but not its shape.
 *
 * <p>Border: a voxel that shares a face with a voxel outside may hold tissue outside; it takes the value of the nearest voxel
 * that does not (in mm), so that a rim of its own keeps its weight. A lesion so thin that fewer than a quarter of its voxels
 * are left keeps its border.
 *
 * <p>Source: shrinking towards the mean so that the variance is right: Louis 1984, Estimating a population of parameter
 * values using Bayes and empirical Bayes methods, doi:10.1080/01621459.1984.10478062; neighbourhood, border: ours, no source.
 */
final class AdcSample {
    private static final int REACH = 2;
    private static final int ACROSS = 1;
    private static final int FEWEST = 10;
    private static final double LEAST_INNER = 0.25;

    private AdcSample() {}

    /** Values of the lesion's voxels that have one, in the order of the voxels. */
    static float[] of(Volume adc, Optional<Volume> noise, Mask lesion, boolean withoutBorder) {
        Mask valued = SignalIn.valued(adc, lesion);
        Mask inner = WhollyInside.of(lesion, false);
        inner = SignalIn.valued(adc, inner);
        boolean within = withoutBorder && inner.count() >= LEAST_INNER * Math.max(1, valued.count());
        Mask used = within ? inner : valued;
        float[] values = noise.isPresent() ? shrunk(adc, noise.get(), used) : adc.voxels();
        int[] source = within ? nearest(used, valued) : new int[0];
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

    // For each voxel of all: the place of the nearest voxel of inner, by rings of growing distance.
    private static int[] nearest(Mask inner, Mask all) {
        int[] source = new int[all.voxels().length];
        Arrays.fill(source, -1);
        for (int i = 0; i < source.length; i++) if (inner.voxels()[i] != 0) source[i] = i;
        float[] distance = DistanceTransform.toRegion(inner, Workers.SINGLE).voxels();
        Integer[] order = IntStream.range(0, source.length)
                .filter(i -> all.voxels()[i] != 0 && source[i] < 0)
                .boxed()
                .sorted((a, b) -> Float.compare(distance[a], distance[b]))
                .toArray(Integer[]::new);
        for (int i : order) source[i] = around(inner, source, i);
        return source;
    }

    private static int around(Mask inner, int[] source, int i) {
        Size size = inner.grid().size();
        int x = i % size.x();
        int y = i / size.x() % size.y();
        int z = i / size.x() / size.y();
        int best = -1;
        double least = Double.POSITIVE_INFINITY;
        for (int reach = 1; best < 0; reach++)
            for (int k = Math.max(0, z - reach); k <= Math.min(size.z() - 1, z + reach); k++)
                for (int j = Math.max(0, y - reach); j <= Math.min(size.y() - 1, y + reach); j++)
                    for (int h = Math.max(0, x - reach); h <= Math.min(size.x() - 1, x + reach); h++) {
                        int at = (k * size.y() + j) * size.x() + h;
                        if (source[at] < 0) continue;
                        double square = square(inner, source[at], x, y, z);
                        if (square >= least) continue;
                        least = square;
                        best = source[at];
                    }
        return best;
    }

    private static double square(Mask inner, int at, int x, int y, int z) {
        Size size = inner.grid().size();
        double dx = (at % size.x() - x) * inner.grid().spacing().x();
        double dy = (at / size.x() % size.y() - y) * inner.grid().spacing().y();
        double dz = (at / size.x() / size.y() - z) * inner.grid().spacing().z();
        return dx * dx + dy * dy + dz * dz;
    }
}
