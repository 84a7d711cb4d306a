// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature.filter;

import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/** An image with a margin of what its boundary says on all sides. */
final class Margin {
    private Margin() {}

    static Volume add(Volume image, int width, Boundary boundary) {
        Size size = image.grid().size();
        Grid grid =
                image.grid().crop(new Box(0, 0, 0, size.x() - 1, size.y() - 1, size.z() - 1).grow(width, width, width));
        float[] voxels = new float[grid.size().voxels()];
        int to = 0;
        for (int z = -width; z < size.z() + width; z++)
            for (int y = -width; y < size.y() + width; y++)
                for (int x = -width; x < size.x() + width; x++, to++) {
                    int i = boundary.index(x, size.x());
                    int j = boundary.index(y, size.y());
                    int k = boundary.index(z, size.z());
                    voxels[to] = i < 0 || j < 0 || k < 0 ? 0 : image.at(i, j, k);
                }
        return new Volume(grid, voxels);
    }

    static Volume remove(Volume image, int width, Grid grid) {
        Size size = grid.size();
        Box inside = new Box(width, width, width, width + size.x() - 1, width + size.y() - 1, width + size.z() - 1);
        return new Volume(grid, image.crop(inside).voxels());
    }
}
