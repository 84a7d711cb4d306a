// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.PythonOracle;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.signal.AdcFit.Method;
import org.leiogauge.signal.AdcFit.Settings;
import org.leiogauge.signal.AdcFit.Weighted;
import org.leiogauge.task.Workers;

class AdcFitTest {
    private static final Grid GRID = Solids.grid(17, 13, 6, 1, 1, 4);
    private static final double[] B = {0, 50, 200, 400, 800, 1200};

    @Test
    void everyMethodFindsAnExactDecayAgain() {
        List<Weighted> series = decay(0, 1);
        for (Method method : Method.values()) {
            AdcFit.Fit fit = AdcFit.fit(series, settings(method, 0), Workers.SINGLE);
            for (int i = 0; i < fit.adc().voxels().length; i++) {
                // Oracle: the decay itself; float signals keep 7 digits.
                assertThat((double) fit.adc().voxels()[i]).isCloseTo(trueAdc(i), within(2e-6));
                assertThat((double) fit.s0(Workers.SINGLE).voxels()[i]).isCloseTo(900, within(2e-3));
                assertThat((double) fit.residual(Workers.SINGLE).voxels()[i]).isCloseTo(0, within(1e-3));
                if (i > 40) break;
            }
        }
    }

    @Test
    void aRegionIsFittedAsItIsAmidTheWholeImage() {
        List<Weighted> series = decay(8, 5);
        byte[] some = new byte[GRID.size().voxels()];
        for (int i = 0; i < some.length; i += 3) some[i] = 1;
        for (Method method : Method.values())
            for (double noise : new double[] {0, 8}) {
                AdcFit.Fit whole = AdcFit.fit(series, settings(method, noise), Workers.SINGLE);
                AdcFit.Fit part =
                        AdcFit.fit(series, Optional.of(new Mask(GRID, some)), settings(method, noise), Workers.SINGLE);
                assertThat(part.deviation().isPresent()).isEqualTo(noise > 0);
                assertSameWithin(some, whole.adc(), part.adc());
                part.deviation()
                        .ifPresent(
                                map -> assertSameWithin(some, whole.deviation().orElseThrow(), map));
            }
    }

    private static void assertSameWithin(byte[] region, Volume whole, Volume part) {
        for (int i = 0; i < region.length; i++)
            assertThat(part.voxels()[i]).isEqualTo(Float.valueOf(region[i] == 1 ? whole.voxels()[i] : Float.NaN));
    }

    @Test
    void logLinearAgreesWithNumPyVoxelByVoxel() {
        List<Weighted> series = decay(8, 2);
        float[] found = AdcFit.fit(series, settings(Method.LOG_LINEAR, 0), Workers.SINGLE)
                .adc()
                .voxels();
        // Oracle: NumPy, numpy.polyfit of ln S over b; float keeps 7 digits.
        double[] expected = PythonOracle.run(
                "b = np.array([0, 50, 200, 400, 800, 1200]) / 1000\n"
                        + "y = np.log(np.stack([a0, a1, a2, a3, a4, a5]).astype('f8').reshape(6, -1))\n"
                        + "r = -np.polyfit(b, y, 1)[0]",
                volumes(series));
        for (int i = 0; i < found.length; i++)
            assertThat((double) found[i]).isCloseTo(expected[i], within(1e-6 * Math.max(0.3, Math.abs(expected[i]))));
    }

    @Test
    void aSignalThatNoTableHoldsIsFittedAsOneVoxelIs() {
        float[] signals = {
            0,
            -0f,
            -1,
            -300,
            0.25f,
            0.5f,
            1,
            1.5f,
            1.00001f,
            1e-30f,
            Float.MIN_VALUE,
            300.7f,
            4095,
            4096,
            4097,
            8190,
            8191,
            65535,
            65536,
            65537,
            70000,
            1 << 23,
            1e30f,
            Float.NaN,
            Float.POSITIVE_INFINITY,
            Float.NEGATIVE_INFINITY
        };
        byte[] everywhere = new byte[GRID.size().voxels()];
        Arrays.fill(everywhere, (byte) 1);
        Optional<Mask> region = Optional.of(new Mask(GRID, everywhere));
        Settings settings = settings(Method.LOG_LINEAR, 0);
        for (int bValues = 2; bValues <= B.length; bValues++)
            for (float signal : signals)
                for (int k = 0; k < bValues; k++) {
                    List<Weighted> series = decay(8, 4).subList(0, bValues);
                    series.get(k).image().voxels()[700] = signal;
                    // Oracle: the fit within a region, which goes voxel by voxel and knows no table.
                    Volume expected =
                            AdcFit.fit(series, region, settings, Workers.SINGLE).adc();
                    Volume found = AdcFit.fit(series, settings, Workers.SINGLE).adc();
                    String what = "signal " + signal + " at b = " + B[k] + ", one of " + bValues;
                    for (int i = 690; i < 710; i++) assertClose(what, i, found.voxels()[i], expected.voxels()[i]);
                }
    }

    // Either way the sums are of doubles; a float keeps 7 digits.
    private static void assertClose(String what, int voxel, float found, float expected) {
        double tolerance = 1e-6 * Math.max(0.3, Math.abs(expected));
        assertThat(Float.isNaN(expected) ? Float.isNaN(found) : Math.abs(found - expected) <= tolerance)
                .as("%s, voxel %d: expected %s, got %s", what, voxel, expected, found)
                .isTrue();
    }

    @Test
    void weightedAndNonLinearAgreeWithNumPyAndSciPy() {
        List<Weighted> series = decay(8, 3);
        float[] weighted = AdcFit.fit(series, settings(Method.WEIGHTED_LOG_LINEAR, 0), Workers.SINGLE)
                .adc()
                .voxels();
        float[] nonLinear = AdcFit.fit(series, settings(Method.NON_LINEAR, 0), Workers.SINGLE)
                .adc()
                .voxels();
        // Oracle: NumPy, numpy.polyfit with w = S; SciPy, scipy.optimize.curve_fit; the first 40 voxels.
        double[] expected = PythonOracle.run(
                String.join(
                        "\n",
                        "from scipy.optimize import curve_fit",
                        "b = np.array([0, 50, 200, 400, 800, 1200]) / 1000",
                        "s = np.stack([a0, a1, a2, a3, a4, a5]).astype('f8').reshape(6, -1)[:, :40]",
                        "wl = [-np.polyfit(b, np.log(v), 1, w=v)[0] for v in s.T]",
                        "f = lambda x, a, d: a * np.exp(-x * d)",
                        "nl = [curve_fit(f, b, v, (900, 1), xtol=1e-12, ftol=1e-12)[0][1] for v in s.T]",
                        "r = wl + nl"),
                volumes(series));
        for (int i = 0; i < 40; i++) {
            assertThat((double) weighted[i]).isCloseTo(expected[i], within(1e-6));
            assertThat((double) nonLinear[i]).isCloseTo(expected[40 + i], within(1e-5));
        }
    }

    @Test
    void theNoiseFloorIsUndone() {
        // Oracle: the truth. Rician noise of 40 on 900 exp(-b D), D = 3: at b = 1200 the signal, 25, is under the
        // noise.
        // What is left is the selection by a noisy signal, within 5 %.
        double plain = 0;
        double aware = 0;
        List<Weighted> series = rician(3, 40, 7);
        float[] without = AdcFit.fit(series, settings(Method.LOG_LINEAR, 0), Workers.SINGLE)
                .adc()
                .voxels();
        float[] with = AdcFit.fit(series, new Settings(Method.WEIGHTED_LOG_LINEAR, 0, 5000, 40, 3), Workers.SINGLE)
                .adc()
                .voxels();
        for (int i = 0; i < with.length; i++) {
            plain += without[i] / with.length;
            aware += with[i] / with.length;
        }
        assertThat(aware).isCloseTo(3, within(0.15));
        assertThat(Math.abs(plain - 3)).isGreaterThan(2 * Math.abs(aware - 3));
    }

    @Test
    void atTheNoiseFloorTheNonLinearFitKeepsToTheTruth() {
        // Oracle: the truth. Rician noise of 100 on 900 exp(-b D), D = 1.5: at b = 1200 the signal, 149, is 1.5 times
        // the noise; the median of 1326 fits scatters by 1 %.
        List<Weighted> series = rician(1.5, 100, 9);
        assertThat(median(AdcFit.fit(series, settings(Method.NON_LINEAR, 100), Workers.SINGLE)))
                .isCloseTo(1.5, within(0.045));
        assertThat(median(AdcFit.fit(series, settings(Method.NON_LINEAR, 0), Workers.SINGLE)))
                .isLessThan(1.45);
    }

    private static double median(AdcFit.Fit fit) {
        float[] sorted = fit.adc().voxels().clone();
        Arrays.sort(sorted);
        return sorted[sorted.length / 2];
    }

    @Test
    void voxelsWithoutTwoSignalsHaveNoValueAndZerosAreLeftOut() {
        List<Weighted> series = List.of(
                new Weighted(0, voxels(900, 0, 900)),
                new Weighted(500, voxels((float) (900 * Math.exp(-0.6)), 0, 0)),
                new Weighted(1000, voxels(0, 50, (float) (900 * Math.exp(-1.2)))));
        float[] adc = AdcFit.fit(series, settings(Method.LOG_LINEAR, 0), Workers.SINGLE)
                .adc()
                .voxels();
        assertThat(adc[0]).isCloseTo(1.2f, within(1e-5f));
        assertThat(adc[1]).isNaN();
        assertThat(adc[2]).isCloseTo(1.2f, within(1e-5f));
    }

    @Test
    void oneValueOfBIsRefused() {
        Weighted one = new Weighted(800, voxels(1, 2, 3));
        assertThatThrownBy(() -> AdcFit.fit(List.of(one, one), Settings.standard(), Workers.SINGLE))
                .hasMessageContaining("two different b-values are needed, got [800.0, 800.0]");
    }

    @Test
    void ofBValuesTooNearToTellThereIsNoValue() {
        // Oracle: the square of their distance is 0 in double, and nothing can be divided by it.
        List<Weighted> series = List.of(new Weighted(0, voxels(900, 800)), new Weighted(1e-200, voxels(700, 800)));
        assertThat(AdcFit.fit(series, settings(Method.LOG_LINEAR, 0), Workers.SINGLE)
                        .adc()
                        .voxels())
                .containsOnly(Float.NaN);
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        List<Weighted> series = decay(8, 5);
        float[] one = AdcFit.fit(series, settings(Method.NON_LINEAR, 4), Workers.SINGLE)
                .adc()
                .voxels();
        for (int threads : new int[] {2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(AdcFit.fit(series, settings(Method.NON_LINEAR, 4), workers)
                                .adc()
                                .voxels())
                        .isEqualTo(one);
            }
    }

    private static Settings settings(Method method, double noise) {
        return new Settings(method, 0, 5000, noise, 3);
    }

    private static double trueAdc(int i) {
        return 0.3 + i % 25 * 0.1;
    }

    private static List<Weighted> decay(double noise, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Weighted> series = new ArrayList<>();
        for (double b : B) {
            float[] s = new float[GRID.size().voxels()];
            for (int i = 0; i < s.length; i++) {
                double v = 900 * Math.exp(-b / 1000 * trueAdc(i)) + noise * Solids.normal(random);
                s[i] = (float) (noise == 0 ? v : Math.max(1, Math.rint(v)));
            }
            series.add(new Weighted(b, new Volume(GRID, s)));
        }
        return series;
    }

    private static List<Weighted> rician(double adc, double noise, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        List<Weighted> series = new ArrayList<>();
        for (double b : B) {
            float[] s = new float[GRID.size().voxels()];
            for (int i = 0; i < s.length; i++)
                s[i] = (float) Math.hypot(
                        900 * Math.exp(-b / 1000 * adc) + noise * Solids.normal(random), noise * Solids.normal(random));
            series.add(new Weighted(b, new Volume(GRID, s)));
        }
        return series;
    }

    private static Volume voxels(float... values) {
        return new Volume(Solids.grid(values.length, 1, 1, 1, 1, 1), values);
    }

    private static Volume[] volumes(List<Weighted> series) {
        return series.stream().map(Weighted::image).toArray(Volume[]::new);
    }
}
