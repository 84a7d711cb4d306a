// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.SplittableRandom;

/**
 * Normal and Rician random numbers that are the same on every machine.
 *
 * <p>Logarithm and cosine are sums of their series, in plain arithmetic, which Java fixes to the last digit; to 1e-15 they
 * are those of {@link StrictMath}, whose calls take four times as long where whole images get their noise.
 */
public final class Gaussian {
    private static final double[] ATANH = new double[11];
    private static final double[] SINE = new double[12];

    static {
        double factorial = 1;
        for (int k = 0; k < ATANH.length; k++) ATANH[k] = 2.0 / (2 * k + 1);
        for (int k = 0; k < SINE.length; k++) {
            SINE[k] = (k % 2 == 0 ? 1 : -1) / factorial;
            factorial *= (2.0 * k + 2) * (2.0 * k + 3);
        }
    }

    private Gaussian() {}

    /** Mean 0, variance 1. Source: Box and Muller 1958, doi:10.1214/aoms/1177706645. */
    public static double next(SplittableRandom random) {
        return radius(random) * cosineOfTurns(random.nextDouble());
    }

    /**
     * Magnitude of a signal with complex normal noise: √((S + σ n₁)² + (σ n₂)²). Both normal numbers come from one Box-Muller
     * pair, of which only the cosine is needed: S² + 2 S σ r cos φ + σ² r².
     */
    public static double rician(SplittableRandom random, double signal, double sigma) {
        double r = sigma * radius(random);
        double c = cosineOfTurns(random.nextDouble());
        return Math.sqrt(Math.max(0, signal * signal + 2 * signal * r * c + r * r));
    }

    private static double radius(SplittableRandom random) {
        return Math.sqrt(-2 * logarithm(1 - random.nextDouble()));
    }

    /** ln x = e ln 2 + 2 artanh((m − 1)/(m + 1)), x = m 2^e and m from √½ to √2; x is normal and positive. */
    static double logarithm(double x) {
        long bits = Double.doubleToRawLongBits(x);
        int exponent = (int) (bits >> 52) - 1023;
        double m = Double.longBitsToDouble(bits & 0xfffffffffffffL | 0x3ff0000000000000L);
        if (m > 1.4142135623730951) {
            m /= 2;
            exponent++;
        }
        double s = (m - 1) / (m + 1);
        double square = s * s;
        double sum = 0;
        for (int k = ATANH.length - 1; k >= 0; k--) sum = sum * square + ATANH[k];
        return exponent * 0.6931471805599453 + s * sum;
    }

    /** cos 2πu = sin 2π(¼ − |u|), with u less the nearest whole number; 0 ≤ u &lt; 1. */
    static double cosineOfTurns(double u) {
        double x = 2 * Math.PI * (0.25 - Math.abs(u < 0.5 ? u : u - 1));
        double square = x * x;
        double sum = 0;
        for (int k = SINE.length - 1; k >= 0; k--) sum = sum * square + SINE[k];
        return x * sum;
    }
}
