// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.PythonOracle;
import org.leiogauge.image.Volume;

class RicianNoiseTest {
    private static final double[] SIGNALS = {0, 5, 20, 40, 77, 78, 100, 150, 159, 160, 161, 300, 400};

    @Test
    void meanAndVarianceAgreeWithSciPy() {
        // Oracle: SciPy, scipy.stats.rice(b = A/σ, scale = σ), mean and var; the polynomials are off by 2e-7.
        double[] expected = PythonOracle.run(
                String.join(
                        "\n",
                        "from scipy.stats import rice",
                        "a = np.array([0, 5, 20, 40, 77, 78, 100, 150, 159, 160, 161, 300, 400.])",
                        "r = list(rice.mean(a / 20, scale=20)) + list(rice.var(a / 20, scale=20))"),
                new Volume[0]);
        for (int i = 0; i < SIGNALS.length; i++) {
            assertThat(RicianNoise.mean(SIGNALS[i], 20)).isCloseTo(expected[i], within(2e-4));
            assertThat(RicianNoise.variance(SIGNALS[i], 20))
                    .isCloseTo(expected[SIGNALS.length + i], within(1e-5 * 2 * expected[i] * 20));
        }
    }

    @Test
    void slopeIsThatOfTheMean() {
        // Oracle: central differences, off by the third derivative and the polynomials' error over the step.
        RicianNoise.Mean mean = new RicianNoise.Mean();
        for (double signal : new double[] {3, 20, 60, 100, 140, 200, 900}) {
            mean.of(signal, 20);
            assertThat(mean.slope())
                    .isCloseTo((RicianNoise.mean(signal + 0.5, 20) - RicianNoise.mean(signal - 0.5, 20)), within(3e-4));
        }
    }

    @Test
    void noiseIsFoundAgainFromMeanAndDeviation() {
        // Oracle: the noise put in.
        for (double signal : new double[] {0, 10, 20, 40, 100, 1000}) {
            double mean = RicianNoise.mean(signal, 20);
            double deviation = Math.sqrt(RicianNoise.variance(signal, 20));
            assertThat(RicianNoise.ofMagnitudes(mean, deviation)).isCloseTo(20, within(0.2));
        }
    }
}
