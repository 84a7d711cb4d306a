// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.stream.IntStream;

/** From a voxel to one of its neighbours, in steps along x, y and z; of two opposite directions only one is listed. */
public record Direction(int dx, int dy, int dz) {
    /** The 13 directions in three dimensions. */
    public static final List<Direction> ALL = IntStream.range(14, 27)
            .mapToObj(k -> new Direction(k % 3 - 1, k / 3 % 3 - 1, k / 9 - 1))
            .toList();

    /** The 4 directions in a slice. */
    public static final List<Direction> IN_PLANE =
            ALL.stream().filter(d -> d.dz == 0).toList();

    int offset(Levels levels) {
        return dz * levels.strideZ() + dy * levels.strideY() + dx;
    }
}
