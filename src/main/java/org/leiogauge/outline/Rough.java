// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/**
 * What refinement starts from: the images and what the reader drew, all on one grid.
 *
 * @param channels one or more aligned images; a voxel that one of them has no value for counts as seen by the others only
 * @param mask the rough region, filled in between its slices; not empty
 * @param add voxels that belong to the lesion because the reader says so
 * @param remove voxels that do not; where a voxel is in both, this one holds
 */
public record Rough(List<Volume> channels, Mask mask, Mask add, Mask remove) {
    public Rough {
        channels = List.copyOf(channels);
        if (channels.isEmpty()) throw new IllegalArgumentException("channels must hold an image, got none");
        for (Volume channel : channels) requireSize("channels", channel.grid(), mask.grid());
        requireSize("add", add.grid(), mask.grid());
        requireSize("remove", remove.grid(), mask.grid());
        if (mask.isEmpty()) throw new IllegalArgumentException("mask must hold a voxel, got none");
    }

    /** Without corrections. */
    public static Rough of(List<Volume> channels, Mask mask) {
        Mask none = new Mask(mask.grid(), new byte[mask.voxels().length]);
        return new Rough(channels, mask, none, none);
    }

    private static void requireSize(String name, Grid grid, Grid wanted) {
        if (!grid.size().equals(wanted.size()))
            throw new IllegalArgumentException(
                    name + " must have the mask's size " + wanted.size() + ", got " + grid.size());
    }
}
