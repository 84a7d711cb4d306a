// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Optional;

/**
 * What the scanner adds to every series.
 *
 * @param fieldTesla as written into the study; relaxation times stand in the tissues
 * @param relaxivity r1 of the contrast agent, 1/(s · mmol/L); source: gadobutrol at 1.5 T, Szomolanyi 2019, 4.78 in plasma
 * @param coilBias standard deviation of the logarithm of the coil's sensitivity
 * @param coilBiasMm its correlation length
 * @param distortionMm standard deviation of the echo-planar displacement along the phase encoding (front to back)
 * @param distortionLengthMm its correlation length
 * @param adcPerMm2PerSecond stored value of the scanner's own ADC map per mm²/s; scanners usually store 10⁻⁶ mm²/s
 */
public record ScannerSettings(
        double fieldTesla,
        double relaxivity,
        double coilBias,
        double coilBiasMm,
        double distortionMm,
        double distortionLengthMm,
        double adcPerMm2PerSecond) {
    public ScannerSettings {
        Range.check("field-tesla", fieldTesla, 0.1, 15);
        Range.check("relaxivity", relaxivity, 0.1, 50);
        Range.check("coil-bias", coilBias, 0, 0.5);
        Range.check("coil-bias-mm", coilBiasMm, 50, 1000);
        Range.check("distortion-length-mm", distortionLengthMm, 20, 500);
        // Steeper, and places would fold over each other.
        Range.check("distortion-mm", distortionMm, 0, Math.min(10, distortionLengthMm / 10));
        Range.check("adc-per-mm2-per-second", adcPerMm2PerSecond, 1e4, 1e7);
    }

    public static ScannerSettings standard() {
        return new ScannerSettings(1.5, 4.78, 0.12, 150, 1.2, 60, 1e6);
    }

    /** Without coil bias and distortion. */
    public static ScannerSettings ideal() {
        return new ScannerSettings(1.5, 4.78, 0, 150, 0, 60, 1e6);
    }

    /** Single values in place of the standard ones; the YAML form. */
    record Change(
            Optional<Double> fieldTesla,
            Optional<Double> relaxivity,
            Optional<Double> coilBias,
            Optional<Double> coilBiasMm,
            Optional<Double> distortionMm,
            Optional<Double> distortionLengthMm,
            Optional<Double> adcPerMm2PerSecond) {

        ScannerSettings of(ScannerSettings s) {
            return new ScannerSettings(
                    or(fieldTesla, s.fieldTesla),
                    or(relaxivity, s.relaxivity),
                    or(coilBias, s.coilBias),
                    or(coilBiasMm, s.coilBiasMm),
                    or(distortionMm, s.distortionMm),
                    or(distortionLengthMm, s.distortionLengthMm),
                    or(adcPerMm2PerSecond, s.adcPerMm2PerSecond));
        }

        // A reader of YAML gives null for what is absent.
        @SuppressWarnings("OptionalAssignedToNull")
        private static double or(Optional<Double> value, double standard) {
            return value == null ? standard : value.orElse(standard);
        }
    }
}
