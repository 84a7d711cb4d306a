// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/**
 * The usual signal equations, for proton density 1.
 *
 * <p>Source: the textbook equations of spin echo, spoiled gradient echo and diffusion weighting, as listed with their
 * symbols in Bernstein, King and Zhou, Handbook of MRI Pulse Sequences, 2004.
 */
final class Signal {
    private Signal() {}

    /** Turbo spin echo: S = (1 − exp(−TR/T1)) exp(−TE/T2), times in ms. */
    static double spinEcho(double tr, double te, double t1, double t2) {
        return -StrictMath.expm1(-tr / t1) * StrictMath.exp(-te / t2);
    }

    /** Spoiled gradient echo: S = sin α (1 − E1) / (1 − cos α E1) exp(−TE/T2*), E1 = exp(−TR/T1), α in degrees. */
    static double gradientEcho(double tr, double te, double flipDegrees, double t1, double t2Star) {
        double flip = StrictMath.toRadians(flipDegrees);
        double e1 = StrictMath.exp(-tr / t1);
        return StrictMath.sin(flip) * (1 - e1) / (1 - StrictMath.cos(flip) * e1) * StrictMath.exp(-te / t2Star);
    }

    /** Diffusion weighting: exp(−b · ADC), b in s/mm², ADC in 10⁻³ mm²/s. */
    static double diffusion(double b, double adc) {
        return StrictMath.exp(-b * adc * 1e-3);
    }

    /** T1 in ms with contrast agent: 1/T1 = 1/T1₀ + r1 · C, r1 in 1/(s · mmol/L). */
    static double shortened(double t1, double relaxivity, double concentration) {
        return 1 / (1 / t1 + relaxivity * concentration * 1e-3);
    }
}
