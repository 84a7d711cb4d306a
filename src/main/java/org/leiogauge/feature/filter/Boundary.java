// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

/**
 * What stands beyond the image.
 *
 * <p>Source: IBSI 2 reference manual, boundary conditions.
 */
public enum Boundary {
    /** Nothing: 0. */
    ZERO,
    /** The border voxel, repeated. */
    NEAREST,
    /** The image again. */
    PERIODIC,
    /** The image's mirror image, with the border voxel twice: … c b a | a b c …. */
    MIRROR;

    /**
     * Which voxel of a line stands at a place.
     *
     * @param place may lie any distance outside
     * @param length of the line
     * @return −1 for none
     */
    int index(int place, int length) {
        if (place >= 0 && place < length) return place;
        if (this == ZERO) return -1;
        if (this == NEAREST) return place < 0 ? 0 : length - 1;
        if (this == PERIODIC) return Math.floorMod(place, length);
        int folded = Math.floorMod(place, 2 * length);
        return folded < length ? folded : 2 * length - 1 - folded;
    }
}
