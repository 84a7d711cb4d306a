// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;

class GaussianTest {
    private final SplittableRandom random = new SplittableRandom(5);

    // Oracle: the JDK's StrictMath (fdlibm, within 1 unit in the last place); tolerance: a few units for our own
    // rounding.
    @Test
    void logarithmIsThatOfTheStrictLibrary() {
        for (int i = 0; i < 200_000; i++) {
            double x = 1 - random.nextDouble();
            if (i % 3 == 0) x = Math.pow(x, 20) + Double.MIN_NORMAL;
            if (i % 3 == 1) x = 1 - Math.scalb(random.nextDouble(), -random.nextInt(50));
            double expected = StrictMath.log(x);
            assertEquals(expected, Gaussian.logarithm(x), 1e-15 * Math.abs(expected), "at " + x);
        }
        assertEquals(0, Gaussian.logarithm(1), 0.0);
    }

    // Oracle: the JDK's StrictMath; tolerance: the rounding of 2 π u, up to 2 π.
    @Test
    void cosineIsThatOfTheStrictLibrary() {
        for (int i = 0; i < 200_000; i++) {
            double u = random.nextDouble();
            assertEquals(StrictMath.cos(2 * Math.PI * u), Gaussian.cosineOfTurns(u), 1e-15, "at " + u);
        }
    }

    // Oracle: closed form, a quarter turn is 0, a half -1.
    @Test
    void cosineOfQuarterTurnsIsWhole() {
        assertEquals(1, Gaussian.cosineOfTurns(0), 1e-15);
        assertEquals(0, Gaussian.cosineOfTurns(0.25), 0.0);
        assertEquals(-1, Gaussian.cosineOfTurns(0.5), 1e-15);
        assertEquals(0, Gaussian.cosineOfTurns(0.75), 0.0);
    }
}
