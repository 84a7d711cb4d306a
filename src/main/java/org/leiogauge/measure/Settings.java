// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.Optional;
import org.leiogauge.lesion.LesionSettings;
import org.leiogauge.stability.Stability;

/**
 * All that can be set about measuring one case.
 *
 * @param lesion how the lesion's signs are measured, and the standard's features
 * @param align whether series are aligned beyond their patient coordinates
 * @param bias whether a smooth field is divided out of T1- and T2-weighted images
 * @param adcUnit unit of a scanner's ADC map, as {@code 10-6.mm2/s}; none: found out
 * @param unknownPhaseSeconds where a series after contrast states no time
 * @param outline how a drawn border is refined
 * @param stability how intervals are drawn
 */
public record Settings(
        LesionSettings lesion,
        boolean align,
        boolean bias,
        Optional<String> adcUnit,
        double unknownPhaseSeconds,
        OutlineSettings outline,
        Stability.Settings stability) {
    public Settings {
        if (!(unknownPhaseSeconds > 0 && unknownPhaseSeconds < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException(
                    "unknown-phase-seconds must be finite and > 0, got " + unknownPhaseSeconds);
    }

    /** What is measured when nothing is said. */
    public static Settings standard() {
        return new Settings(
                LesionSettings.standard(),
                true,
                true,
                Optional.empty(),
                300,
                OutlineSettings.standard(),
                Stability.Settings.standard());
    }

    public org.leiogauge.feature.Settings features() {
        return lesion.features();
    }
}
