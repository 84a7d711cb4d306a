// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import org.leiogauge.outline.BorderRefinement;

/**
 * How a rough outline becomes a region.
 *
 * @param refine whether the border is refined at all, or only filled in between its slices
 * @param border how it is refined
 * @param allSeries whether other series of the same frame of reference have a say, carried over by patient coordinates
 */
public record OutlineSettings(boolean refine, BorderRefinement.Settings border, boolean allSeries) {
    public static OutlineSettings standard() {
        return new OutlineSettings(true, BorderRefinement.Settings.standard(), true);
    }
}
