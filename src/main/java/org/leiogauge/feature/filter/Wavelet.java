// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * A separable orthogonal wavelet, undecimated: one response of one level.
 *
 * <p>High-pass taps h(k) = (−1)^(k+1) l(n − 1 − k) from low-pass taps l. Level j + 1 filters the all-low-pass response of level
 * j with taps twice as far apart.
 *
 * <p>Source: IBSI 2 reference manual, separable wavelets; taps of Daubechies 1992, Ten Lectures on Wavelets.
 *
 * @param response a letter for each axis, {@code L} for low and {@code H} for high pass, as {@code LHL}: two for slices, three
 *     for the volume
 * @param level 1 to 6
 * @param rotation none: the orientation as given alone
 */
public record Wavelet(Family family, String response, int level, Optional<Pooling> rotation, Boundary boundary)
        implements Filter {

    /** Of which wavelet. */
    public enum Family {
        HAAR(1 / Math.sqrt(2), 1 / Math.sqrt(2)),
        DAUBECHIES_2(daubechies2()),
        // The closed form has nested roots; these digits are the published ones, rounded to the precision of a double.
        DAUBECHIES_3(
                0.035226291882100656,
                -0.08544127388224149,
                -0.13501102001039084,
                0.4598775021193313,
                0.8068915093133388,
                0.3326705529509569),
        COIFLET_1(coiflet1());

        private final Kernel low;
        private final Kernel high;

        Family(double... taps) {
            double[] opposite = new double[taps.length];
            for (int k = 0; k < taps.length; k++) opposite[k] = (k % 2 == 0 ? -1 : 1) * taps[taps.length - 1 - k];
            low = Kernel.ofTaps(taps);
            high = Kernel.ofTaps(opposite);
        }

        private static double[] daubechies2() {
            double root = Math.sqrt(3);
            return over(4 * Math.sqrt(2), 1 - root, 3 - root, 3 + root, 1 + root);
        }

        private static double[] coiflet1() {
            double root = Math.sqrt(7);
            return over(16 * Math.sqrt(2), root - 3, 1 - root, 14 - 2 * root, 14 + 2 * root, 5 + root, 1 - root);
        }

        private static double[] over(double divisor, double... taps) {
            for (int k = 0; k < taps.length; k++) taps[k] /= divisor;
            return taps;
        }
    }

    public Wavelet {
        if (!response.matches("[LH]{2,3}"))
            throw new IllegalArgumentException("response must be two or three letters L or H, as LHL, got " + response);
        Filter.requireBetween("level", level, 1, 6);
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        AxisConvolution convolution = new AxisConvolution(image.grid().size(), boundary, workers);
        List<List<Kernel>> axes = new ArrayList<>();
        for (char pass : response.toCharArray()) axes.add(passes(pass));
        return new Volume(image.grid(), SeparableFilter.apply(image.voxels(), axes, rotation, convolution, progress));
    }

    @Override
    public long bytes(Grid grid) {
        return 24L * grid.size().voxels();
    }

    private List<Kernel> passes(char pass) {
        List<Kernel> kernels = new ArrayList<>();
        for (int j = 1; j < level; j++) kernels.add(family.low.stretched(1 << j - 1));
        kernels.add((pass == 'L' ? family.low : family.high).stretched(1 << level - 1));
        return Collections.unmodifiableList(kernels);
    }
}
