// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.feature.ImageFilter;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** A filter with all its parameters. */
public sealed interface Filter extends ImageFilter
        permits Mean, LaplacianOfGaussian, Laws, Gabor, Wavelet, Simoncelli, Riesz {
    /** The farthest that a kernel may reach from its centre, in voxels. */
    int MOST_REACH = 1024;

    /**
     * The response map, on the image's grid.
     *
     * @param image with a finite value in each voxel
     * @throws IllegalArgumentException if the parameters do not suit the image's voxels
     */
    @Override
    Volume apply(Volume image, Workers workers, Progress progress);

    /**
     * About how many bytes of memory it takes for an image on a grid, besides the image's own.
     *
     * @throws IllegalArgumentException as {@link #apply}
     */
    long bytes(Grid grid);

    /** The side of the voxels along the axes that a filter with a length in mm runs over. */
    static double side(Grid grid, int dimensions) {
        Spacing s = grid.spacing();
        double longest = Math.max(s.x(), Math.max(s.y(), dimensions == 3 ? s.z() : 0));
        double shortest = Math.min(s.x(), Math.min(s.y(), dimensions == 3 ? s.z() : longest));
        // Slice positions of real files are uneven in their last digits.
        if (longest > 1.001 * shortest)
            throw new IllegalArgumentException("voxels must have equal sides in the " + dimensions
                    + " dimensions of a filter in mm, got " + s + ": interpolate first (features.resample)");
        return s.x();
    }

    static int reach(String name, double voxels) {
        if (!(voxels <= MOST_REACH))
            throw new IllegalArgumentException(
                    name + " must give a kernel that reaches at most " + MOST_REACH + " voxels, got " + voxels);
        return (int) voxels;
    }

    static void requireDimensions(int dimensions) {
        if (dimensions != 2 && dimensions != 3)
            throw new IllegalArgumentException("dimensions must be 2 or 3, got " + dimensions);
    }

    static void requirePositive(String name, double value) {
        if (!(value > 0 && value < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException(name + " must be finite and > 0, got " + value);
    }

    static void requireBetween(String name, int value, int least, int most) {
        if (value < least || value > most)
            throw new IllegalArgumentException(name + " must be " + least + " to " + most + ", got " + value);
    }
}
