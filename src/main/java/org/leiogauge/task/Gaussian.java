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
    private static final int TERMS = 12;
    private static final long ROOT_HALF = Double.doubleToRawLongBits(Math.nextUp(Math.sqrt(0.5)));
    private static final double[] ATANH = new double[TERMS];
    private static final double[] SINE = new double[TERMS];

    static {
        double factorial = 1;
        for (int k = 0; k < TERMS; k++) {
            ATANH[k] = 2.0 / (2 * k + 1);
            SINE[k] = (k % 2 == 0 ? 1 : -1) / factorial;
            factorial *= (2.0 * k + 2) * (2.0 * k + 3);
        }
    }

    private Gaussian() {}

    /** Mean 0, variance 1. Source: Box and Muller 1958, doi:10.1214/aoms/1177706645. */
    public static double next(SplittableRandom random) {
        return radius(random) * cosineOfTurns(random.nextDouble());
    }

    /** Leaves one number out. */
    public static void skip(SplittableRandom random) {
        random.nextDouble();
        random.nextDouble();
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
        // A branch here would be guessed wrong every other time.
        long exponent = (Double.doubleToRawLongBits(x) - ROOT_HALF) >> 52;
        double m = Double.longBitsToDouble(Double.doubleToRawLongBits(x) - (exponent << 52));
        double s = (m - 1) / (m + 1);
        return exponent * 0.6931471805599453 + s * sum(ATANH, s * s);
    }

    /** cos 2πu = sin 2π(¼ − |u|), with u less the nearest whole number; 0 ≤ u &lt; 1. */
    static double cosineOfTurns(double u) {
        double x = 2 * Math.PI * (0.25 - Math.min(u, 1 - u));
        return x * sum(SINE, x * x);
    }

    // Σ c_k y^k in pairs, pairs of pairs and so on, which the processor adds side by side.
    private static double sum(double[] c, double y) {
        double two = y * y;
        double four = two * two;
        double low = (c[0] + c[1] * y) + (c[2] + c[3] * y) * two;
        double middle = (c[4] + c[5] * y) + (c[6] + c[7] * y) * two;
        double high = (c[8] + c[9] * y) + (c[10] + c[11] * y) * two;
        return low + (middle + high * four) * four;
    }
}
