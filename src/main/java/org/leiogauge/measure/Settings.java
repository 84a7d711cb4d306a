// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

/**
 * All that can be set about measuring one case.
 *
 * @param features how the standard's features are measured
 * @param outline how a drawn border is refined
 */
public record Settings(org.leiogauge.feature.Settings features, OutlineSettings outline) {
    /** What is measured when nothing is said. */
    public static Settings standard() {
        return new Settings(org.leiogauge.feature.Settings.standard(), OutlineSettings.standard());
    }
}
