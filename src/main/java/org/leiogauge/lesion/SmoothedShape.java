// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

/**
 * A surface against its own smoothed shape, for regions of any form.
 *
 * <p>The smoothed shape: the mask blurred with a Gaussian of width σ in mm and cut where it keeps the region's number of
 * voxels. Roughness: the root mean square of the distance between the borders, over the border voxels of the region, from
 * the signed distance to the smoothed shape less half a voxel on either side; in mm. The voxels' own size is in it:
 * coarser than {@link RadialShape}.
 *
 * <p>Source: common practice, no source.
 */
final class SmoothedShape {
    private static final double REACH = 3;

    private SmoothedShape() {}

    static Measurement roughness(Mask region, double sigmaMm, Workers workers) {
        Spacing s = region.grid().spacing();
        Box box =
                region.boundingBox().orElseThrow().grow(pad(sigmaMm, s.x()), pad(sigmaMm, s.y()), pad(sigmaMm, s.z()));
        Mask part = region.crop(box);
        Volume blurred = GaussianSmoothing.smooth(
                part.asVolume(), new GaussianSmoothing.Settings(sigmaMm, sigmaMm, sigmaMm, REACH), workers);
        float[] sorted = blurred.voxels().clone();
        Arrays.sort(sorted);
        float cut = sorted[sorted.length - part.count()];
        byte[] smooth = new byte[sorted.length];
        for (int i = 0; i < smooth.length; i++) smooth[i] = (byte) (blurred.voxels()[i] >= cut ? 1 : 0);
        Volume distance = DistanceTransform.signed(new Mask(part.grid(), smooth), workers);
        return rootMeanSquare(part, distance.voxels());
    }

    private static int pad(double sigmaMm, double spacing) {
        return (int) Math.ceil(REACH * sigmaMm / spacing) + 1;
    }

    // A face of the region lies between two voxels: the mean of both signed distances is its own.
    private static Measurement rootMeanSquare(Mask part, float[] distance) {
        Size size = part.grid().size();
        byte[] v = part.voxels();
        Spacing s = part.grid().spacing();
        int[] stride = {1, size.x(), size.x() * size.y()};
        double[] area = {s.y() * s.z(), s.x() * s.z(), s.x() * s.y()};
        double sum = 0;
        double total = 0;
        // the region is padded: the last voxel along an axis is outside
        for (int i = 0; i < v.length - stride[2]; i++)
            for (int axis = 0; axis < 3; axis++) {
                int j = i + stride[axis];
                if (v[i] == v[j]) continue;
                double d = (distance[i] + (double) distance[j]) / 2;
                sum += area[axis] * d * d;
                total += area[axis];
            }
        return Measurement.of(Math.sqrt(sum / total), "the smoothed shape is empty");
    }

    /**
     * Share of directions whose ray from the centre leaves the region more than once. Gaps shorter than a voxel's longest
     * side are steps of the voxels and do not count.
     *
     * @param centre in mm along the grid's axes
     */
    static double foldedShare(Mask region, double[] centre) {
        DirectionMesh mesh = DirectionMesh.STANDARD;
        Grid grid = region.grid();
        Spacing s = grid.spacing();
        double step = Math.min(s.x(), Math.min(s.y(), s.z()));
        double gap = Math.max(s.x(), Math.max(s.y(), s.z()));
        Size size = grid.size();
        double end = Math.sqrt(
                Math.pow(size.x() * s.x(), 2) + Math.pow(size.y() * s.y(), 2) + Math.pow(size.z() * s.z(), 2));
        int folded = 0;
        for (int i = 0; i < mesh.count(); i++)
            if (isFolded(region, centre, mesh.direction(i), step, gap, end)) folded++;
        return (double) folded / mesh.count();
    }

    private static boolean isFolded(Mask region, double[] centre, double[] u, double step, double gap, double end) {
        Size size = region.grid().size();
        Spacing s = region.grid().spacing();
        double lastInside = 0;
        for (double t = 0; t < end; t += step) {
            int x = (int) Math.round((centre[0] + t * u[0]) / s.x());
            int y = (int) Math.round((centre[1] + t * u[1]) / s.y());
            int z = (int) Math.round((centre[2] + t * u[2]) / s.z());
            if (x < 0 || y < 0 || z < 0 || x >= size.x() || y >= size.y() || z >= size.z()) return false;
            if (!region.has(x, y, z)) continue;
            if (t - lastInside > gap + step) return true;
            lastInside = t;
        }
        return false;
    }
}
