// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

/**
 * Signal of a tissue in one image of a series, before coil, distortion, noise and gain.
 *
 * <p>S = protonDensity · (1 − fatShare where fat is suppressed) · the series' equation in {@link Signal}. Images are counted
 * from 0: one, or one per b-value, or the one before contrast agent and then the phases.
 */
final class TissueSignal {
    private TissueSignal() {}

    /** Signal where the tissue is as its properties say. */
    static double of(TissueProperties tissue, SeriesSettings series, ScannerSettings scanner, int image) {
        return of(tissue, series, scanner, image, 1, 1);
    }

    /** Signal where texture makes the ADC and the concentration of contrast agent so many times the tissue's own. */
    static double of(
            TissueProperties tissue,
            SeriesSettings series,
            ScannerSettings scanner,
            int image,
            double adcShare,
            double concentrationShare) {
        double density = tissue.protonDensity() * (series.fatSuppressed() ? 1 - tissue.fatShare() : 1);
        return density
                * switch (series.kind()) {
                    case T2 -> Signal.spinEcho(series.trMs(), series.teMs(), tissue.t1Ms(), tissue.t2Ms());
                    case DWI ->
                        Signal.spinEcho(series.trMs(), series.teMs(), tissue.t1Ms(), tissue.t2Ms())
                                * Signal.diffusion(series.bValues().get(image), tissue.adc() * adcShare);
                    case T1 -> gradientEcho(series, tissue, tissue.t1Ms());
                    case DYNAMIC ->
                        gradientEcho(series, tissue, t1(tissue, series, scanner, image, concentrationShare));
                };
    }

    private static double t1(
            TissueProperties tissue, SeriesSettings series, ScannerSettings scanner, int image, double share) {
        if (image == 0) return tissue.t1Ms();
        double concentration = tissue.concentration(series.phaseSeconds().get(image - 1)) * share;
        return Signal.shortened(tissue.t1Ms(), scanner.relaxivity(), concentration);
    }

    private static double gradientEcho(SeriesSettings series, TissueProperties tissue, double t1) {
        return Signal.gradientEcho(series.trMs(), series.teMs(), series.flipDegrees(), t1, tissue.t2StarMs());
    }
}
