// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.util.SplittableRandom;

/** Normal and Rician random numbers that are the same on every machine. */
public final class Gaussian {
    private Gaussian() {}

    /** Mean 0, variance 1. Source: Box and Muller 1958, doi:10.1214/aoms/1177706645. */
    public static double next(SplittableRandom random) {
        return radius(random) * StrictMath.cos(2 * Math.PI * random.nextDouble());
    }

    /**
     * Magnitude of a signal with complex normal noise: √((S + σ n₁)² + (σ n₂)²). Both normal numbers come from one Box-Muller
     * pair, of which only the cosine is needed: S² + 2 S σ r cos φ + σ² r².
     */
    public static double rician(SplittableRandom random, double signal, double sigma) {
        double r = sigma * radius(random);
        double c = StrictMath.cos(2 * Math.PI * random.nextDouble());
        return Math.sqrt(Math.max(0, signal * signal + 2 * signal * r * c + r * r));
    }

    private static double radius(SplittableRandom random) {
        return Math.sqrt(-2 * StrictMath.log(1 - random.nextDouble()));
    }
}
