// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

/** Which of the voxels around a voxel count as its neighbours: 6, 18 or 26 in three dimensions. */
public enum Neighbourhood {
    /** Those that share a face. */
    FACES(1),
    /** Those that share a face or an edge. */
    EDGES(2),
    /** Those that share a face, an edge or a corner. */
    CORNERS(3);

    private final int steps;

    Neighbourhood(int steps) {
        this.steps = steps;
    }

    /** Whether the voxel that lies −1, 0 or 1 away along each axis is a neighbour; the voxel itself is not. */
    public boolean has(int dx, int dy, int dz) {
        int far = Math.abs(dx) + Math.abs(dy) + Math.abs(dz);
        return far > 0 && far <= steps;
    }
}
