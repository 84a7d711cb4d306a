// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Percentile;
import org.leiogauge.task.Workers;

/**
 * How well two outlines of the same thing agree: overlap and distance between their borders.
 *
 * <p>Dice = 2 |A ∩ B| / (|A| + |B|); Jaccard = |A ∩ B| / |A ∪ B|; no unit. Border: the voxels of a region with a face
 * to the outside, the grid's border included. From each border voxel the distance to the nearest border voxel of the
 * other region, in mm between centres; Hausdorff distance: the largest of all; its 95 % form: the larger of both
 * directions' 95th percentiles (linear between order statistics, type 7); mean surface distance: the mean over both
 * directions' voxels. Overlap is not measured if both are empty, distances if one is.
 *
 * <p>Source: Dice 1945, doi:10.2307/1932409; Taha and Hanbury 2015, Metrics for evaluating 3D medical image
 * segmentation, doi:10.1186/s12880-015-0068-x.
 */
public final class OutlineAgreement {
    private static final String EMPTY = "a region is empty";

    private OutlineAgreement() {}

    /** Shares without unit, distances in mm. */
    public record Agreement(
            Measurement dice,
            Measurement jaccard,
            Measurement hausdorff95,
            Measurement hausdorff,
            Measurement meanSurfaceDistance) {}

    public static Agreement between(Mask a, Mask b, Workers workers) {
        if (!a.grid().size().equals(b.grid().size()))
            throw new IllegalArgumentException("b must have a's size "
                    + a.grid().size() + ", got " + b.grid().size());
        int shared = 0;
        for (int i = 0; i < a.voxels().length; i++) shared += a.voxels()[i] & b.voxels()[i];
        double sum = (double) a.count() + b.count();
        Measurement dice = Measurement.of(2 * shared / sum, "both regions are empty");
        Measurement jaccard = Measurement.of(shared / (sum - shared), "both regions are empty");
        if (a.isEmpty() || b.isEmpty()) {
            Measurement none = new Measurement.NotMeasured(EMPTY);
            return new Agreement(dice, jaccard, none, none, none);
        }
        double[] fromA = distances(a, b, workers);
        double[] fromB = distances(b, a, workers);
        return new Agreement(
                dice,
                jaccard,
                Measurement.of(Math.max(Percentile.of(fromA, 0.95), Percentile.of(fromB, 0.95)), EMPTY),
                Measurement.of(Math.max(fromA[fromA.length - 1], fromB[fromB.length - 1]), EMPTY),
                Measurement.of(
                        (Arrays.stream(fromA).sum() + Arrays.stream(fromB).sum()) / (fromA.length + fromB.length),
                        EMPTY));
    }

    // From the border of one region to that of the other, ascending. The box of both holds all that matters.
    private static double[] distances(Mask from, Mask to, Workers workers) {
        Box box = union(from.boundingBox().orElseThrow(), to.boundingBox().orElseThrow());
        byte[] border = border(from.crop(box));
        Mask other = to.crop(box);
        Volume distance = DistanceTransform.toRegion(new Mask(other.grid(), border(other)), workers);
        double[] distances = new double[border.length];
        int n = 0;
        for (int i = 0; i < border.length; i++) if (border[i] != 0) distances[n++] = distance.voxels()[i];
        distances = Arrays.copyOf(distances, n);
        Arrays.sort(distances);
        return distances;
    }

    private static byte[] border(Mask mask) {
        Size size = mask.grid().size();
        byte[] border = new byte[size.voxels()];
        int i = 0;
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++, i++)
                    if (mask.voxels()[i] != 0 && !isSurrounded(mask, x, y, z)) border[i] = 1;
        return border;
    }

    private static boolean isSurrounded(Mask mask, int x, int y, int z) {
        Size size = mask.grid().size();
        return x > 0
                && y > 0
                && z > 0
                && x < size.x() - 1
                && y < size.y() - 1
                && z < size.z() - 1
                && mask.has(x - 1, y, z)
                && mask.has(x + 1, y, z)
                && mask.has(x, y - 1, z)
                && mask.has(x, y + 1, z)
                && mask.has(x, y, z - 1)
                && mask.has(x, y, z + 1);
    }

    private static Box union(Box a, Box b) {
        return new Box(
                Math.min(a.minX(), b.minX()),
                Math.min(a.minY(), b.minY()),
                Math.min(a.minZ(), b.minZ()),
                Math.max(a.maxX(), b.maxX()),
                Math.max(a.maxY(), b.maxY()),
                Math.max(a.maxZ(), b.maxZ()));
    }
}
