// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

/**
 * What noise in both channels makes of the magnitude of a signal.
 *
 * <p>A the signal without noise, 0 or more, σ the noise's standard deviation in each channel, above 0, x = A² / 4σ². Mean
 * m = σ √(π/2) e^(−x) ((1 + 2x) I₀(x) + 2x I₁(x)); its slope over A is √(π/2) (A / 2σ) e^(−x) (I₀(x) + I₁(x)); variance A² +
 * 2σ² − m². From A = {@value #FAR} σ on, m = A + σ²/2A + σ⁴/8A³. All in the image's unit.
 *
 * <p>Source: Gudbjartsson and Patz 1995, The Rician distribution of noisy MRI data, doi:10.1002/mrm.1910340618; I₀ and I₁:
 * Abramowitz and Stegun 1964, Handbook of mathematical functions, 9.8.1 to 9.8.4, off by 2e-7 at most; noise from mean and
 * standard deviation: Koay and Basser 2006, Analytically exact correction scheme for signal extraction from noisy
 * magnitude MR signals, doi:10.1016/j.jmr.2006.01.016.
 */
public final class RicianNoise {
    private static final double FAR = 8;
    private static final double ROOT = Math.sqrt(Math.PI / 2);
    // 3.75, where the two pairs of polynomials meet
    private static final double MIDDLE = 3.75;
    private static final double[] I0 = {1, 3.5156229, 3.0899424, 1.2067492, 0.2659732, 0.0360768, 0.0045813};
    private static final double[] I1 = {0.5, 0.87890594, 0.51498869, 0.15084934, 0.02658733, 0.00301532, 0.00032411};
    private static final double[] I0_FAR = {
        0.39894228, 0.01328592, 0.00225319, -0.00157565, 0.00916281, -0.02057706, 0.02635537, -0.01647633, 0.00392377
    };
    private static final double[] I1_FAR = {
        0.39894228, -0.03988024, -0.00362018, 0.00163801, -0.01031555, 0.02282967, -0.02895312, 0.01787654, -0.00420059
    };
    // Mean over standard deviation of magnitudes without any signal.
    private static final double NO_SIGNAL = ROOT / Math.sqrt(2 - Math.PI / 2);
    private static final int STEPS = 200;

    private RicianNoise() {}

    /** Mean magnitude. */
    public static double mean(double signal, double noise) {
        Mean mean = new Mean();
        mean.of(signal, noise);
        return mean.value();
    }

    /** The mean magnitude and how much it grows with the signal: both need the same exponential. */
    static final class Mean {
        private double signal;
        private double noise;
        private double value;
        private double slope;

        void of(double signal, double noise) {
            this.signal = signal;
            this.noise = noise;
            if (signal >= FAR * noise) far();
            else near();
        }

        double value() {
            return value;
        }

        double slope() {
            return slope;
        }

        double variance() {
            return signal * signal + 2 * noise * noise - value * value;
        }

        private void far() {
            double share = noise / signal;
            double square = share * share;
            value = signal + noise * share * (0.5 + square / 8);
            slope = 1 - square * (0.5 + 0.375 * square);
        }

        private void near() {
            double x = square(signal / noise) / 4;
            // e^(-x) I₀(x) and e^(-x) I₁(x)
            double first;
            double second;
            if (x < MIDDLE) {
                double decay = Math.exp(-x);
                double t = square(x / MIDDLE);
                first = decay * polynomial(I0, t);
                second = decay * x * polynomial(I1, t);
            } else {
                double root = Math.sqrt(x);
                first = polynomial(I0_FAR, MIDDLE / x) / root;
                second = polynomial(I1_FAR, MIDDLE / x) / root;
            }
            value = noise * ROOT * ((1 + 2 * x) * first + 2 * x * second);
            slope = ROOT * signal / noise / 2 * (first + second);
        }
    }

    static double variance(double signal, double noise) {
        Mean mean = new Mean();
        mean.of(signal, noise);
        return mean.variance();
    }

    /**
     * The noise's standard deviation from mean and standard deviation of the magnitudes that it makes of one signal: much
     * larger than the latter where the signal is small.
     */
    public static double ofMagnitudes(double mean, double deviation) {
        if (!(deviation > 0)) return deviation;
        double noise = deviation;
        if (mean <= NO_SIGNAL * deviation) return deviation / Math.sqrt(2 - Math.PI / 2);
        for (int i = 0; i < STEPS; i++) {
            double signal = Math.sqrt(Math.max(0, mean * mean + deviation * deviation - 2 * noise * noise));
            double next = deviation * noise / Math.sqrt(variance(signal, noise));
            if (Math.abs(next - noise) < 1e-9 * noise) return next;
            noise = next;
        }
        return noise;
    }

    private static double polynomial(double[] c, double t) {
        double sum = 0;
        for (int i = c.length - 1; i >= 0; i--) sum = sum * t + c[i];
        return sum;
    }

    private static double square(double v) {
        return v * v;
    }
}
