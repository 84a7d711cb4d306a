// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** Which voxels count as neighbours: those that share a face, also those that share an edge, or also a corner. */
public enum Neighbourhood {
    /** 6 in 3-D. */
    FACES,
    /** 18 in 3-D. */
    EDGES,
    /** 26 in 3-D. */
    CORNERS
}
