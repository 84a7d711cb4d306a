// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.Arrays;
import java.util.Collections;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The mean of each voxel's neighbourhood: weights 1 / support along each axis.
 *
 * <p>Source: IBSI 2 reference manual, mean filter.
 *
 * @param dimensions 2: in the slice; 3: in the volume
 * @param support side of the neighbourhood, in voxels; odd, 1 to 1023
 */
public record Mean(int dimensions, int support, Boundary boundary) implements Filter {
    public Mean {
        Filter.requireDimensions(dimensions);
        if (support < 1 || support > 1023 || support % 2 == 0)
            throw new IllegalArgumentException("support must be an odd number of voxels, 1 to 1023, got " + support);
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        AxisConvolution convolution = new AxisConvolution(image.grid().size(), boundary, workers);
        return new Volume(image.grid(), box(image.voxels(), dimensions, support, convolution, progress));
    }

    @Override
    public long bytes(Grid grid) {
        return 12L * grid.size().voxels();
    }

    static float[] box(float[] image, int dimensions, int support, AxisConvolution convolution, Progress progress) {
        double[] weights = new double[support];
        Arrays.fill(weights, 1.0 / support);
        List<Kernel> kernel = List.of(Kernel.centred(weights));
        return SeparableFilter.apply(
                image, Collections.nCopies(dimensions, kernel), Optional.empty(), convolution, progress);
    }
}
