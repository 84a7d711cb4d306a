// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.List;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/**
 * A refined region.
 *
 * @param mask the region
 * @param probability that a voxel belongs to it, 0 to 1
 * @param disputed voxels that one method counts in and another out
 * @param decisions what was decided, for the report
 */
public record Refined(Mask mask, Volume probability, Mask disputed, List<String> decisions) {
    public Refined {
        decisions = List.copyOf(decisions);
    }
}
