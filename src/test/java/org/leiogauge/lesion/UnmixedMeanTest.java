// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.function.ToDoubleFunction;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;

class UnmixedMeanTest {
    private static final Grid GRID = Solids.grid(40, 40, 16, 1.5, 1.5, 4);
    private static final double RADIUS = 19;
    private static final int PLACES = 8;

    // A ball of two tissues, a core of 80 % of its volume, in a third; each voxel the mean over 8 × 8 × 8 places.
    private static double shade(double r, double core, double rim) {
        return r > RADIUS ? 300 : r > RADIUS * Math.cbrt(0.8) ? rim : core;
    }

    private static float[] mean(ToDoubleFunction<double[]> at) {
        float[] v = new float[GRID.size().voxels()];
        for (int n = 0; n < v.length; n++) {
            double sum = 0;
            for (int p = 0; p < PLACES * PLACES * PLACES; p++)
                sum += at.applyAsDouble(new double[] {
                    (n % 40 + place(p % PLACES) - 19.5) * 1.5,
                    (n / 40 % 40 + place(p / PLACES % PLACES) - 19.5) * 1.5,
                    (n / 1600 + place(p / PLACES / PLACES) - 7.5) * 4
                });
            v[n] = (float) (sum / PLACES / PLACES / PLACES);
        }
        return v;
    }

    private static double place(int i) {
        return (i + 0.5) / PLACES - 0.5;
    }

    private static double radius(double[] p) {
        return Math.sqrt(p[0] * p[0] + p[1] * p[1] + p[2] * p[2]);
    }

    private static Mask ball() {
        float[] share = mean(p -> radius(p) <= RADIUS ? 1 : 0);
        byte[] in = new byte[share.length];
        for (int i = 0; i < in.length; i++) in[i] = (byte) (share[i] >= 0.5 ? 1 : 0);
        return new Mask(GRID, in);
    }

    @Test
    void aBallInBrighterTissueHasItsOwnMean() {
        // Oracle: the ball's mean, 100 throughout and 0.8 · 100 + 0.2 · 200; the share of border voxels is known to a
        // tenth or so, and they are a third of the ball.
        for (double rim : new double[] {100, 200}) {
            Volume image = new Volume(GRID, mean(p -> shade(radius(p), 100, rim)));
            double truth = 80 + 0.2 * rim;
            assertThat(UnmixedMean.over(ball()).of(image)).isCloseTo(truth, within(0.02 * truth));
            double plain = SignalIn.mean(SignalIn.ascending(image, ball()));
            assertThat(plain).isGreaterThan(1.035 * truth);
        }
    }

    @Test
    void anEvenImageHasItsValueAndVoxelsWithoutOneAreLeftOut() {
        // Oracle: the image's one value.
        float[] v = mean(p -> 70);
        for (int i = 0; i < v.length; i += 7) v[i] = Float.NaN;
        assertThat(UnmixedMean.over(ball()).of(new Volume(GRID, v))).isCloseTo(70, within(1e-3));
        assertThat(UnmixedMean.over(new Mask(GRID, new byte[v.length])).of(new Volume(GRID, v)))
                .isNaN();
    }
}
