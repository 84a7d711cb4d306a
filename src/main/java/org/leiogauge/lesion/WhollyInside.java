// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;

/** The voxels of a region that share no face with a voxel outside, and so are not mixed with what lies outside. */
final class WhollyInside {
    private WhollyInside() {}

    /**
     * What lies beyond the grid counts as outside.
     *
     * @param inSlice looks at the neighbours in the slice alone
     */
    static Mask of(Mask region, boolean inSlice) {
        Size size = region.grid().size();
        byte[] v = region.voxels();
        byte[] inner = new byte[v.length];
        int w = size.x();
        int slice = w * size.y();
        for (int z = inSlice ? 0 : 1; z < size.z() - (inSlice ? 0 : 1); z++)
            for (int y = 1; y < size.y() - 1; y++)
                for (int x = 1; x < w - 1; x++) {
                    int i = z * slice + y * w + x;
                    int in = v[i] & v[i - 1] & v[i + 1] & v[i - w] & v[i + w];
                    inner[i] = (byte) (inSlice || in == 0 ? in : in & v[i - slice] & v[i + slice]);
                }
        return new Mask(region.grid(), inner);
    }
}
