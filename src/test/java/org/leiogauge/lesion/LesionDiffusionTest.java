// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;
import static org.leiogauge.lesion.Values.find;
import static org.leiogauge.lesion.Values.number;
import static org.leiogauge.lesion.Values.reason;

import java.util.Arrays;
import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.PythonOracle;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionDiffusion.HighestB;
import org.leiogauge.lesion.LesionDiffusion.Settings;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;

class LesionDiffusionTest {
    private static final Grid GRID = Solids.grid(24, 22, 12, 1.6, 1.6, 4);
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(18, 17, 22, 15));
    private static final Mask NONE = Solids.mask(GRID, (x, y, z) -> false);
    private static final Measurement DARK = new Measured(1.1);
    // As the voxels are: nothing taken off.
    private static final Settings RAW = new Settings(0.905, 5, 1, 1.5, false, false);

    @Test
    void theDistributionAgreesWithNumPyAndSciPy() {
        Volume adc = skewed();
        List<LesionValue> values = measure(adc, Optional.empty(), NONE, DARK);
        // Oracle: NumPy 1.24, numpy.percentile (linear, type 7); SciPy 1.10, scipy.stats.skew and kurtosis.
        double[] expected = PythonOracle.run(
                "from scipy import stats\n"
                        + "v = a0[a1 > 0].astype('f8')\n"
                        + "r = list(np.percentile(v, [5, 10, 25, 50, 75, 90, 95]))"
                        + " + [v.mean(), stats.skew(v), stats.kurtosis(v), (v < 0.905).mean()]",
                adc,
                Solids.asVolume(LESION));
        int k = 0;
        for (var percentile : LesionDefinitions.ADC_PERCENTILES.values())
            assertThat(number(values, percentile)).isCloseTo(expected[k++], within(1e-12));
        assertThat(number(values, LesionDefinitions.ADC_MEAN)).isCloseTo(expected[7], within(1e-12));
        assertThat(number(values, LesionDefinitions.ADC_SKEWNESS)).isCloseTo(expected[8], within(1e-10));
        assertThat(number(values, LesionDefinitions.ADC_KURTOSIS)).isCloseTo(expected[9], within(1e-10));
        assertThat(number(values, LesionDefinitions.RESTRICTED_FRACTION)).isCloseTo(expected[10], within(1e-12));
    }

    @Test
    void twoCompartmentsFollowTheClosedForm() {
        float[] adc = new float[GRID.size().voxels()];
        int n = 0;
        int low = 0;
        for (int i = 0; i < adc.length; i++) {
            adc[i] = 2;
            if (LESION.voxels()[i] == 0) continue;
            boolean isLow = n++ % 4 == 0;
            if (isLow) low++;
            if (isLow) adc[i] = 0.75f;
        }
        List<LesionValue> values = measure(new Volume(GRID, adc), Optional.empty(), NONE, DARK);
        // Oracle: a two-valued variable with share p: skewness (2p - 1) / √(p q) of the higher value, excess kurtosis
        // 1 / (p q) - 6.
        double q = (double) low / n;
        double p = 1 - q;
        assertThat(number(values, LesionDefinitions.ADC_MEAN)).isCloseTo(2 * p + 0.75 * q, within(1e-9));
        assertThat(number(values, LesionDefinitions.ADC_SKEWNESS)).isCloseTo((q - p) / Math.sqrt(p * q), within(1e-9));
        assertThat(number(values, LesionDefinitions.ADC_KURTOSIS)).isCloseTo(1 / (p * q) - 6, within(1e-9));
        assertThat(number(values, LesionDefinitions.RESTRICTED_FRACTION)).isEqualTo(q);
    }

    @Test
    void theLowestRegionIsThatOfABruteForceSearch() {
        Volume adc = skewed();
        Mask excluded = Solids.mask(GRID, Solids.ball(22, 17, 26, 6));
        for (double radius : new double[] {2, 3.5, 5}) {
            Measurement found = LowestAdcRegion.find(adc, Optional.empty(), minus(LESION, excluded), radius);
            // Oracle: brute force over all centres and all voxels, below.
            assertThat(found.number().orElseThrow())
                    .isCloseTo(bruteForce(adc, minus(LESION, excluded), radius), within(1e-9));
        }
        assertThat(reason(
                        LesionDiffusion.measure(adc, Optional.empty(), Optional.empty(), LESION, LESION, DARK, RAW),
                        LesionDefinitions.ADC_MINIMUM_REGION))
                .contains("no ball of 5.00 mm radius fits");
    }

    @Test
    void theSignalIsSetAgainstEachTissueAndMissingOnesAreNamed() {
        Map<Tissue, Reference> references = new EnumMap<>(Tissue.class);
        references.put(Tissue.ENDOMETRIUM, accepted(400));
        references.put(Tissue.URINE, new ReferenceRegion.Refused("too noisy"));
        List<LesionValue> values = measure(flat(1.1), Optional.of(signal(300, 0, references)), NONE, DARK);
        assertThat(number(values, LesionDefinitions.DWI_RATIO, "endometrium")).isCloseTo(0.75, within(1e-6));
        assertThat(find(values, LesionDefinitions.DWI_RATIO, "muscle")
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no reference region for muscle");
        assertThat(find(values, LesionDefinitions.DWI_RATIO, "urine")
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("reference region for urine: too noisy");
    }

    // Oracle: the definitions: bright with high ADC is shine-through, dark with low ADC and dark T2 is blackout.
    @Test
    void shineThroughBlackoutAndRestrictionAreToldApart() {
        assertPattern(500, 1.6, DARK, 1, 0, "T2 shine-through");
        assertPattern(500, 0.8, DARK, 0, 0, "");
        assertPattern(150, 0.7, DARK, 0, 1, "T2 blackout");
        assertPattern(150, 0.7, new Measured(2.2), 0, 0, "");
        assertPattern(150, 1.6, DARK, 0, 0, "");
        List<LesionValue> unknown = measure(
                flat(0.7),
                Optional.of(signal(150, 0, Map.of(Tissue.ENDOMETRIUM, accepted(400)))),
                NONE,
                new NotMeasured("no reference region for muscle"));
        assertThat(reason(unknown, LesionDefinitions.BLACKOUT))
                .isEqualTo("t2 signal ratio to muscle: no reference region for muscle");
        assertThat(reason(measure(flat(1), Optional.empty(), NONE, DARK), LesionDefinitions.SHINE_THROUGH))
                .contains("no diffusion-weighted image");
    }

    @Test
    void aLesionAtTheNoiseFloorIsMarked() {
        List<LesionValue> values = measure(flat(1), Optional.of(signal(25, 10, Map.of())), NONE, DARK);
        assertThat(find(values, LesionDefinitions.ADC_MEAN, "").caution())
                .isEqualTo(
                        "100 % of the lesion is under 3 noise standard deviations at b = 1000 s/mm2: the ADC is poorly known"
                                + " there");
        assertThat(find(
                                measure(flat(1), Optional.of(signal(35, 10, Map.of())), NONE, DARK),
                                LesionDefinitions.ADC_MEAN,
                                "")
                        .caution())
                .isEmpty();
    }

    @Test
    void voxelsWithoutAnAdcAreLeftOutAndCounted() {
        float[] adc = flat(1).voxels().clone();
        for (int i = 0; i < adc.length; i += 5) adc[i] = Float.NaN;
        List<LesionValue> values = measure(new Volume(GRID, adc), Optional.empty(), NONE, DARK);
        assertThat(number(values, LesionDefinitions.ADC_MEAN)).isEqualTo(1);
        assertThat(find(values, LesionDefinitions.ADC_MEAN, "").caution()).contains("20 % of the lesion has no ADC");
        assertThat(reason(values, LesionDefinitions.ADC_SKEWNESS)).contains("the same everywhere");
        List<LesionValue> none = measure(flat(Double.NaN), Optional.empty(), NONE, DARK);
        assertThat(reason(none, LesionDefinitions.ADC_MEAN)).isEqualTo("no voxel of the lesion has an ADC");
        assertThat(reason(none, LesionDefinitions.ADC_PERCENTILES.get(10))).contains("no voxel");
    }

    private static void assertPattern(
            double signal, double adc, Measurement t2, double shine, double blackout, String caution) {
        List<LesionValue> values =
                measure(flat(adc), Optional.of(signal(signal, 0, Map.of(Tissue.ENDOMETRIUM, accepted(400)))), NONE, t2);
        assertThat(number(values, LesionDefinitions.SHINE_THROUGH)).isEqualTo(shine);
        assertThat(number(values, LesionDefinitions.BLACKOUT)).isEqualTo(blackout);
        String all = find(values, LesionDefinitions.DWI_RATIO, "endometrium").caution()
                + find(values, LesionDefinitions.RESTRICTED_FRACTION, "").caution();
        assertThat(all).startsWith(caution).matches(caution.isEmpty() ? "" : ".+");
    }

    private static List<LesionValue> measure(Volume adc, Optional<HighestB> highest, Mask excluded, Measurement t2) {
        return LesionDiffusion.measure(adc, Optional.empty(), highest, LESION, excluded, t2, RAW);
    }

    private static HighestB signal(double value, double noise, Map<Tissue, Reference> references) {
        return new HighestB(1000, flat(value), noise, references);
    }

    private static Reference accepted(double median) {
        return new ReferenceRegion.Accepted(median, 1, 100);
    }

    private static Volume flat(double value) {
        float[] v = new float[GRID.size().voxels()];
        Arrays.fill(v, (float) value);
        return new Volume(GRID, v);
    }

    private static Volume skewed() {
        SplittableRandom random = new SplittableRandom(3);
        float[] v = new float[GRID.size().voxels()];
        for (int i = 0; i < v.length; i++) v[i] = (float) (0.6 + 0.5 * Math.exp(0.5 * Solids.normal(random)));
        return new Volume(GRID, v);
    }

    private static Mask minus(Mask mask, Mask excluded) {
        byte[] left = mask.voxels().clone();
        for (int i = 0; i < left.length; i++) if (excluded.voxels()[i] != 0) left[i] = 0;
        return new Mask(GRID, left);
    }

    private static double bruteForce(Volume map, Mask region, double radius) {
        double lowest = Double.POSITIVE_INFINITY;
        for (int centre = 0; centre < map.voxels().length; centre++) {
            double sum = 0;
            int n = 0;
            // A ball that would reach past the grid does not fit; this lesion ends before.
            for (int i = 0; i < map.voxels().length && n >= 0; i++) {
                double dx = 1.6 * (i % 24 - centre % 24);
                double dy = 1.6 * (i / 24 % 22 - centre / 24 % 22);
                double dz = 4.0 * (i / 528 - centre / 528);
                if (dx * dx + dy * dy + dz * dz > radius * radius + 1e-9) continue;
                if (region.voxels()[i] == 0) n = -1;
                else {
                    sum += map.voxels()[i];
                    n++;
                }
            }
            if (n > 0) lowest = Math.min(lowest, sum / n);
        }
        return lowest;
    }
}
