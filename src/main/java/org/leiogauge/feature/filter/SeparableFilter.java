// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.ArrayList;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.task.Progress;

/**
 * A product of one-dimensional kernels, in one orientation or pooled over all right-angle rotations.
 *
 * <p>A rotation turns the image, filters it and turns it back: axes change places, and an axis that is turned round has its
 * kernel flipped. That is 24 rotations in three dimensions and 4 in a slice. Those that come to the same kernels are worked
 * out once: each set of kernels comes from as many rotations, so that their mean stays what it was.
 *
 * <p>Source: IBSI 2 reference manual, separable filters, rotation invariance.
 */
final class SeparableFilter {
    private SeparableFilter() {}

    /**
     * @param kernels for each direction, two or three of them, those that are applied one after the other
     * @param pooling none: the orientation as given alone
     */
    static float[] apply(
            float[] image,
            List<List<Kernel>> kernels,
            Optional<Pooling> pooling,
            AxisConvolution convolution,
            Progress progress) {
        List<List<List<Kernel>>> orientations =
                pooling.isPresent() ? List.copyOf(orientations(kernels)) : List.of(kernels);
        Pooling how = pooling.orElse(Pooling.MEAN);
        float[] pooled = new float[image.length];
        // What the axes before the last one gave serves the orientations that begin alike.
        List<float[]> partial = new ArrayList<>();
        List<List<Kernel>> before = List.of();
        for (int i = 0; i < orientations.size(); i++) {
            List<List<Kernel>> now = orientations.get(i);
            int same = 0;
            while (same < before.size() && before.get(same).equals(now.get(same))) same++;
            partial.subList(same, partial.size()).clear();
            for (int axis = same; axis < now.size(); axis++) {
                float[] response = axis == 0 ? image : partial.get(axis - 1);
                for (Kernel kernel : now.get(axis)) response = convolution.apply(response, kernel, axis);
                partial.add(response);
            }
            how.add(partial.get(now.size() - 1), pooled, i == 0);
            before = now;
            progress.at((i + 1.0) / orientations.size());
        }
        how.finish(pooled, orientations.size());
        return pooled;
    }

    /** The kernels of each axis in each different orientation. */
    static Set<List<List<Kernel>>> orientations(List<List<Kernel>> kernels) {
        Set<List<List<Kernel>>> all = new LinkedHashSet<>();
        for (int[] order : orders(kernels.size()))
            for (int flips = 0; flips < 1 << order.length; flips++) {
                // A rotation mirrors nothing: an odd order goes with an odd number of flips.
                if (Integer.bitCount(flips) % 2 != (isOdd(order) ? 1 : 0)) continue;
                List<List<Kernel>> axes = new ArrayList<>();
                for (int axis = 0; axis < order.length; axis++) {
                    boolean isFlipped = (flips >> axis & 1) != 0;
                    axes.add(kernels.get(order[axis]).stream()
                            .map(k -> isFlipped ? k.flipped() : k)
                            .toList());
                }
                all.add(axes);
            }
        return all;
    }

    private static int[][] orders(int axes) {
        return axes == 2
                ? new int[][] {{0, 1}, {1, 0}}
                : new int[][] {{0, 1, 2}, {0, 2, 1}, {1, 0, 2}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    }

    private static boolean isOdd(int[] order) {
        int inversions = 0;
        for (int i = 0; i < order.length; i++)
            for (int j = i + 1; j < order.length; j++) if (order[i] > order[j]) inversions++;
        return inversions % 2 != 0;
    }
}
