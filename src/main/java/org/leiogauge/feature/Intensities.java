// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/** The intensities of a box of an image, read where they stand in it, row by row: no copy is made. */
final class Intensities {
    private final float[] voxels;
    private final Grid grid;
    private final Box box;

    /** @param box inside the image */
    Intensities(Volume image, Box box) {
        this.voxels = image.voxels();
        this.grid = image.grid();
        this.box = box;
    }

    /** Size of the box. */
    Size size() {
        return box.size();
    }

    /** Those of the image: read only. */
    float[] voxels() {
        return voxels;
    }

    /** Where in the image's voxels a row of the box begins. */
    int row(int y, int z) {
        return grid.offset(box.minX(), box.minY() + y, box.minZ() + z);
    }

    /** One per voxel of the box, x fastest: a copy. */
    float[] copy() {
        Size size = size();
        float[] copy = new float[size.voxels()];
        int to = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++, to += size.x()) System.arraycopy(voxels, row(y, z), copy, to, size.x());
        return copy;
    }

    /** Hands each intensity of a region on its box to a consumer, x fastest. */
    void forEach(Mask region, ToFloat consumer) {
        Size size = size();
        byte[] inside = region.voxels();
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                int row = row(y, z);
                for (int x = 0; x < size.x(); x++, i++) if (inside[i] != 0) consumer.accept(voxels[row + x]);
            }
    }

    @FunctionalInterface
    interface ToFloat {
        void accept(float intensity);
    }
}
