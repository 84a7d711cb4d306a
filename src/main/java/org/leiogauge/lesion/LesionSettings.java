// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import org.leiogauge.feature.Settings;

/**
 * How a lesion is measured.
 *
 * @param features how spread and entropy of the T2-weighted signal are measured
 */
public record LesionSettings(
        Settings features,
        MarginShape.Settings margin,
        MarginSharpness.Settings sharpness,
        T2Signal.Settings t2,
        T1Blood.Settings t1,
        LesionEnhancement.Settings enhancement,
        LesionDiffusion.Settings diffusion) {
    public static LesionSettings standard() {
        return new LesionSettings(
                Settings.standard(),
                MarginShape.Settings.standard(),
                MarginSharpness.Settings.standard(),
                T2Signal.Settings.standard(),
                T1Blood.Settings.standard(),
                LesionEnhancement.Settings.standard(),
                LesionDiffusion.Settings.standard());
    }
}
