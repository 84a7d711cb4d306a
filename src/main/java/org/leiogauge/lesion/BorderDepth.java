// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * How deep the voxels of a region lie in it, in mm, measured to the faces of the voxels outside, not to their centres: in
 * thick slices the difference is half a slice.
 *
 * <p>d² = min over slices k away of (max(0, |k| − ½) s_z)² + max(0, e_k − ½ s)², with e_k the distance, in the plane of the
 * slice k away, from the voxel's place to the nearest centre outside, and s the smaller spacing in the plane. What lies
 * beyond the grid counts as outside. 0 outside the region.
 *
 * <p>Source: Euclidean distance in a slice: {@link DistanceTransform}; half a voxel off: common practice.
 */
final class BorderDepth {
    private BorderDepth() {}

    static float[] of(Mask region, Workers workers) {
        Size size = region.grid().size();
        int slice = size.x() * size.y();
        float[][] inPlane = workers.map(size.z(), z -> plane(region, z)).toArray(float[][]::new);
        Spacing s = region.grid().spacing();
        float[] depth = new float[size.voxels()];
        workers.forEach(size.z(), z -> {
            float[] column = new float[slice];
            for (int i = 0; i < slice; i++) {
                if (region.voxels()[z * slice + i] == 0) continue;
                float square = inPlane[z][i] * inPlane[z][i];
                square = nearer(inPlane, z, 1, i, s.z(), square);
                column[i] = (float) Math.sqrt(nearer(inPlane, z, -1, i, s.z(), square));
            }
            System.arraycopy(column, 0, depth, z * slice, slice);
        });
        return depth;
    }

    private static float nearer(float[][] inPlane, int z, int step, int i, double spacing, float square) {
        for (int k = 1; ; k++) {
            double away = (k - 0.5) * spacing;
            if (away * away >= square) return square;
            int other = z + step * k;
            if (other < 0 || other >= inPlane.length) return (float) (away * away);
            float e = inPlane[other][i];
            square = (float) Math.min(square, away * away + e * e);
        }
    }

    // Distance in the slice to the nearest face outside; a voxel of edge is added, so that the grid's border counts.
    private static float[] plane(Mask region, int z) {
        Size size = region.grid().size();
        Spacing s = region.grid().spacing();
        Size padded = new Size(size.x() + 2, size.y() + 2, 1);
        byte[] outside = new byte[padded.voxels()];
        Arrays.fill(outside, (byte) 1);
        for (int y = 0; y < size.y(); y++)
            for (int x = 0; x < size.x(); x++)
                outside[(y + 1) * padded.x() + x + 1] = (byte) (region.has(x, y, z) ? 0 : 1);
        Grid grid = new Grid(padded, s, region.grid().direction(), region.grid().origin());
        Volume distance = DistanceTransform.toRegion(new Mask(grid, outside), Workers.SINGLE);
        float half = (float) (Math.min(s.x(), s.y()) / 2);
        float[] plane = new float[size.x() * size.y()];
        for (int y = 0; y < size.y(); y++)
            for (int x = 0; x < size.x(); x++)
                plane[y * size.x() + x] = Math.max(0, distance.at(x + 1, y + 1, 0) - half);
        return plane;
    }
}
