// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.phantom.SeriesSettings.Kind;

class TissueSignalTest {
    private static final ScannerSettings SCANNER = new ScannerSettings(1.5, 4.5, 0, 150, 0, 60, 1e6);
    // T1 1514, T2 80, T2* 50, proton density 0.8, ADC 1.2, half fat, 0.5 mmol/L from the first moment on
    private static final TissueProperties TISSUE =
            new TissueProperties(1514, 80, 50, 0.8, 1.2, 0.5, 0.5, 0, 0.1, 0, 0, 0, 0);

    private static double of(Kind kind, int image) {
        return TissueSignal.of(TISSUE, SmallStudy.series(kind, 40, 10), SCANNER, image);
    }

    @Test
    void everyKindOfSeriesMatchesTheHandCalculation() {
        // Oracle: by hand. TR 4000, TE 80, no fat suppression: 0.8 (1 − e^−2.6420) e^−1 = 0.8 · 0.92878 · 0.36788 =
        // 0.27334.
        assertThat(of(Kind.T2, 0)).isCloseTo(0.27334, within(2e-5));
        // Oracle: times e^−0.6 and e^−1.2 at b 500 and 1000.
        assertThat(of(Kind.DWI, 1) / of(Kind.DWI, 0)).isCloseTo(0.54881, within(1e-5));
        assertThat(of(Kind.DWI, 2) / of(Kind.DWI, 0)).isCloseTo(0.30119, within(1e-5));
        assertThat(of(Kind.DWI, 0)).isCloseTo(0.27334, within(2e-5));
        // Oracle: by hand, TR 4, TE 1, 12 degrees, E1 = e^−0.0026420 = 0.9973615:
        // 0.2079117 · 0.0026385 / (1 − 0.9781476 · 0.9973615) = 0.022452; times 0.8, half of it suppressed, and
        // e^−0.02.
        assertThat(of(Kind.T1, 0)).isCloseTo(0.022452 * 0.4 * 0.980199, within(2e-6));
        assertThat(of(Kind.DYNAMIC, 0)).isEqualTo(of(Kind.T1, 0));
    }

    @Test
    void enhancementMatchesTheHandCalculation() {
        // Oracle: by hand, TR 4, 12 degrees, T1 1514, r1 4.5: 223 % at 0.5 mmol/L, 129 % at half of it, 352 % at twice.
        double before = of(Kind.DYNAMIC, 0);
        assertThat(100 * (of(Kind.DYNAMIC, 1) / before - 1)).isCloseTo(223, within(0.6));
        SeriesSettings series = SmallStudy.series(Kind.DYNAMIC, 40, 10);
        assertThat(100 * (TissueSignal.of(TISSUE, series, SCANNER, 2, 1, 0.5) / before - 1))
                .isCloseTo(129, within(0.6));
        assertThat(100 * (TissueSignal.of(TISSUE, series, SCANNER, 2, 1, 2) / before - 1))
                .isCloseTo(352, within(0.6));
    }

    @Test
    void tablesMatchTheEquations() {
        PhantomSettings settings = SmallStudy.lesionAlone(
                new TissueProperties(1514, 80, 50, 0.8, 1.2, 0.5, 0.5, 0, 0.1, 0, 0.1, 0.2, 0.3),
                SCANNER,
                SmallStudy.series(Kind.T2, 40, 10),
                SmallStudy.series(Kind.DWI, 40, 10),
                SmallStudy.series(Kind.DYNAMIC, 40, 10));
        TissueProperties tissue = settings.of(Tissue.LEIOMYOMA);
        for (int s = 1; s < 3; s++) {
            SeriesSettings series = settings.series().get(s);
            SignalTables tables = new SignalTables(settings, series);
            for (double g = -6; g < 6; g += 0.37) {
                float[] target = new float[1];
                double[] field = {g};
                tables.add(2, Tissue.LEIOMYOMA.ordinal(), new float[] {0.25f}, field, field, target, 0);
                double other = Math.max(0, 1 + (s == 1 ? 0.2 : 0.3) * g);
                // Oracle: the equation itself; straight lines between places 0.005 apart.
                double expected =
                        0.25 * Math.max(0, 1 + 0.1 * g) * TissueSignal.of(tissue, series, SCANNER, 2, other, other);
                assertThat((double) target[0]).isCloseTo(expected, within(1e-4 * expected));
            }
        }
    }
}
