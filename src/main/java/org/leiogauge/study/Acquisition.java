// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.util.List;
import java.util.OptionalDouble;

/**
 * How finely and when a series was acquired, as far as its headers tell; what the protocol check looks at.
 *
 * @param pixelMm the larger distance between neighbouring pixels
 * @param sliceMm from slice to slice
 * @param startSeconds time of day of its first image
 * @param seconds of each volume, after injection or after the first volume where no injection is stated
 */
public record Acquisition(
        OptionalDouble pixelMm, OptionalDouble sliceMm, OptionalDouble startSeconds, List<Double> seconds) {
    /** Of which nothing is known. */
    static final Acquisition UNKNOWN =
            new Acquisition(OptionalDouble.empty(), OptionalDouble.empty(), OptionalDouble.empty(), List.of());

    public Acquisition {
        seconds = List.copyOf(seconds);
    }
}
