// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalInt;
import java.util.TreeMap;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Laws' kernels, one along each axis: level (L), edge (E), spot (S), wave (W), ripple (R), of unit norm. If asked for, pooled
 * over right-angle rotations, and then as energy: the mean absolute response around each voxel.
 *
 * <p>Source: IBSI 2 reference manual, Laws kernels.
 *
 * @param kernels as {@code E5L5S5}: two for slices, three for the volume
 * @param rotation none: the orientation as given alone
 * @param energyDistance δ, in voxels: the energy is had in a box of side 2δ + 1; none: the response itself
 */
public record Laws(String kernels, Optional<Pooling> rotation, OptionalInt energyDistance, Boundary boundary)
        implements Filter {
    private static final Map<String, Kernel> KERNELS = new TreeMap<>(Map.of(
            "L5", unit(1, 4, 6, 4, 1),
            "E5", unit(-1, -2, 0, 2, 1),
            "S5", unit(-1, 0, 2, 0, -1),
            "W5", unit(-1, 2, 0, -2, 1),
            "R5", unit(1, -4, 6, -4, 1),
            "L3", unit(1, 2, 1),
            "E3", unit(-1, 0, 1),
            "S3", unit(-1, 2, -1)));

    public Laws {
        split(kernels);
        if (energyDistance.isPresent()) Filter.requireBetween("energy-distance", energyDistance.getAsInt(), 1, 511);
    }

    @Override
    public Volume apply(Volume image, Workers workers, Progress progress) {
        AxisConvolution convolution = new AxisConvolution(image.grid().size(), boundary, workers);
        List<List<Kernel>> axes = split(kernels);
        float[] response = SeparableFilter.apply(image.voxels(), axes, rotation, convolution, progress.part(0, 0.8));
        if (energyDistance.isPresent()) {
            for (int i = 0; i < response.length; i++) response[i] = Math.abs(response[i]);
            int side = 2 * energyDistance.getAsInt() + 1;
            response = Mean.box(response, axes.size(), side, convolution, progress.part(0.8, 1));
        }
        return new Volume(image.grid(), response);
    }

    @Override
    public long bytes(Grid grid) {
        return 24L * grid.size().voxels();
    }

    private static List<List<Kernel>> split(String names) {
        List<List<Kernel>> axes = new ArrayList<>();
        for (int i = 0; i < names.length(); i += 2) {
            Kernel kernel = KERNELS.get(names.substring(i, Math.min(i + 2, names.length())));
            if (kernel == null) throw unknown(names);
            axes.add(List.of(kernel));
        }
        if (axes.size() != 2 && axes.size() != 3) throw unknown(names);
        return axes;
    }

    private static IllegalArgumentException unknown(String names) {
        return new IllegalArgumentException("kernels must be two or three of " + String.join(", ", KERNELS.keySet())
                + " in a row, as E5L5S5, got " + names);
    }

    private static Kernel unit(double... taps) {
        double squares = 0;
        for (double tap : taps) squares += tap * tap;
        return Kernel.ofTaps(taps).times(1 / Math.sqrt(squares));
    }
}
