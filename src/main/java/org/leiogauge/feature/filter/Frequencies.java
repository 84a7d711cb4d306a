// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/**
 * The frequencies at which the standard's frequency-domain filters are defined: along an axis of n voxels, n values in equal
 * steps from −1 to 1, both included, with 1 the Nyquist frequency, in the order of the Fourier transform.
 *
 * <p>For even n these are not quite the transform's own frequencies, and none is 0; the standard's reference maps are made
 * with them.
 *
 * <p>Source: IBSI 2 reference manual, non-separable wavelets; the reference response maps 8.a.1 to 8.a.3.
 */
final class Frequencies {
    private final double[][] axes;

    /** @param dimensions 2: none along z; 3: along all axes */
    Frequencies(Size size, int dimensions) {
        axes = new double[][] {axis(size.x()), axis(size.y()), dimensions == 3 ? axis(size.z()) : new double[size.z()]};
    }

    /** A filter's real factor at a frequency. */
    @FunctionalInterface
    interface Factor {
        double at(double x, double y, double z);
    }

    /**
     * Multiplies a spectrum.
     *
     * @param turns how often −i is a factor, too
     */
    void multiply(Spectrum spectrum, Factor factor, int turns, Workers workers) {
        workers.forEach(axes[2].length, z -> {
            int i = z * axes[0].length * axes[1].length;
            for (double y : axes[1])
                for (double x : axes[0]) {
                    double f = factor.at(x, y, axes[2][z]);
                    put(spectrum, i, f * spectrum.re[i], f * spectrum.im[i], turns % 4);
                    i++;
                }
        });
    }

    private static void put(Spectrum spectrum, int i, double re, double im, int turns) {
        spectrum.re[i] = turns == 0 ? re : turns == 1 ? im : turns == 2 ? -re : -im;
        spectrum.im[i] = turns == 0 ? im : turns == 1 ? -re : turns == 2 ? -im : re;
    }

    static double[] axis(int n) {
        double[] frequencies = new double[n];
        if (n > 1) for (int k = 0; k < n; k++) frequencies[k] = -1 + 2.0 * ((k + n / 2) % n) / (n - 1);
        return frequencies;
    }
}
