// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.List;
import java.util.OptionalDouble;
import java.util.OptionalInt;
import org.leiogauge.image.Volume;

/**
 * One volume of a series: all its slices with the same b-value, time, echo and image type.
 *
 * @param bValue in s/mm²
 * @param echoTime in ms
 * @param seconds after injection where its start and the time of acquisition are stated, else after the first volume
 * @param unit of the voxels as the file states it; may be empty
 * @param sopInstanceUids of the object that each slice comes from, in the order of z
 * @param frames number of each slice in its object, from 1 on, in the order of z
 * @param decisions what was decided in reading it
 */
public record SeriesVolume(
        Volume volume,
        OptionalDouble bValue,
        OptionalInt temporalPosition,
        OptionalDouble echoTime,
        OptionalDouble seconds,
        String imageType,
        String unit,
        String frameOfReferenceUid,
        List<String> sopInstanceUids,
        List<Integer> frames,
        List<String> decisions) {
    public SeriesVolume {
        sopInstanceUids = List.copyOf(sopInstanceUids);
        frames = List.copyOf(frames);
        decisions = List.copyOf(decisions);
    }
}
