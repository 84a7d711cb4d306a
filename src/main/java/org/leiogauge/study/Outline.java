// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.List;
import org.leiogauge.image.Mask;

/**
 * A region drawn on a series of the study.
 *
 * @param name the region's name in its file
 * @param series the series it belongs to
 * @param content that series' voxels
 * @param mask the region on the series' grid; not empty
 * @param decisions how it was found that the two belong together, and what was decided in filling the region
 */
public record Outline(String name, Series series, Series.Content content, Mask mask, List<String> decisions) {
    public Outline {
        decisions = List.copyOf(decisions);
    }
}
