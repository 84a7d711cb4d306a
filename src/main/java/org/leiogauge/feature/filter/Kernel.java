// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import java.util.ArrayList;
import java.util.Collections;
import java.util.List;
import java.util.stream.Collectors;
import java.util.stream.DoubleStream;

/**
 * The weights of neighbours along one axis: the response at i is Σ weights[k] · image[i + first + k · step].
 *
 * @param first where the first weight's neighbour stands, in voxels from the centre
 * @param step between neighbours, in voxels; 1 or more
 */
record Kernel(List<Double> weights, int first, int step) {
    Kernel {
        weights = List.copyOf(weights);
    }

    /** Of a convolution with taps, of which number n/2, counted from 0, is the centre: out(i) = Σ t(j) a(i + n/2 − j). */
    static Kernel ofTaps(double... taps) {
        List<Double> weights = list(taps);
        Collections.reverse(weights);
        return new Kernel(weights, taps.length / 2 - (taps.length - 1), 1);
    }

    /** Weights that are the same on both sides of the centre, from the far end on one side to that on the other. */
    static Kernel centred(double... weights) {
        return new Kernel(list(weights), -(weights.length / 2), 1);
    }

    /** For the image turned round: w(d) becomes w(−d). */
    Kernel flipped() {
        List<Double> turned = new ArrayList<>(weights);
        Collections.reverse(turned);
        return new Kernel(turned, -(first + (weights.size() - 1) * step), step);
    }

    /** With its neighbours this many times as far. */
    Kernel stretched(int times) {
        return new Kernel(weights, first * times, step * times);
    }

    /** With all weights multiplied. */
    Kernel times(double factor) {
        return new Kernel(weights.stream().map(w -> w * factor).toList(), first, step);
    }

    private static List<Double> list(double[] values) {
        return DoubleStream.of(values).boxed().collect(Collectors.toCollection(ArrayList::new));
    }
}
