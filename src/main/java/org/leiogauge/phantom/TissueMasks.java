// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.Arrays;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Workers;

/** What a lesion is made of on a grid, by the voxels' centres: inside where the depth below the sharp surface is 0 or more. */
final class TissueMasks {
    private static final byte OUTSIDE = -1;

    private final Grid grid;
    private final byte[] tissue;

    private TissueMasks(Grid grid) {
        this.grid = grid;
        tissue = new byte[grid.size().voxels()];
        Arrays.fill(tissue, OUTSIDE);
    }

    static TissueMasks of(Lesion lesion, Grid grid, Movement movement, Workers workers) {
        TissueMasks masks = new TissueMasks(grid);
        workers.forEach(grid.size().z(), z -> masks.fill(lesion, movement, z));
        return masks;
    }

    private void fill(Lesion lesion, Movement movement, int z) {
        double[] look = new double[2];
        for (int y = 0; y < grid.size().y(); y++)
            for (int x = 0; x < grid.size().x(); x++) {
                Vector v = movement.back(grid.point(x, y, z)).minus(lesion.centre());
                if (v.length() < lesion.reach() && lesion.depth(v.x(), v.y(), v.z(), look) >= 0)
                    tissue[grid.offset(x, y, z)] = lesion.tissueAt(v.x(), v.y(), v.z(), look);
            }
    }

    Mask lesion() {
        byte[] voxels = new byte[tissue.length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (tissue[i] == OUTSIDE ? 0 : 1);
        return new Mask(grid, voxels);
    }

    Mask of(Tissue kind) {
        byte[] voxels = new byte[tissue.length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (tissue[i] == kind.ordinal() ? 1 : 0);
        return new Mask(grid, voxels);
    }
}
