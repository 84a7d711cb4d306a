// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;

/**
 * One series as acquired: whole stored values from 0 to 4095.
 *
 * @param grid of the acquisition, in the scanner's patient coordinates, as the header says
 * @param images one, or one per b-value, or the one before contrast agent and then the phases
 * @param gain stored value of signal 1, as {@link TissueSignal} counts it, where the coil's sensitivity is 1
 * @param noise standard deviation of the noise in each of the two channels, in stored values
 */
record SeriesImages(SeriesSettings settings, Grid grid, List<Volume> images, double gain, double noise) {
    SeriesImages {
        images = List.copyOf(images);
    }
}
