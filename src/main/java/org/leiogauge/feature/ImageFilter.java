// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** An image in, its response map on the same grid out. */
@FunctionalInterface
public interface ImageFilter {
    /** @throws IllegalArgumentException if the filter does not suit the image's voxels */
    Volume apply(Volume image, Workers workers, Progress progress);
}
