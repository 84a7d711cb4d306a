// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.table.FeatureValue;

/**
 * The local intensity family: mean intensities in a ball of 1 cm³ around voxels of the region.
 *
 * <p>A voxel is in the ball if its centre is; voxels outside the region count, voxels beyond the image and those without
 * a value do not. Cost: one running sum per row of the image and one difference per voxel and row of the ball; held are
 * 12 bytes per voxel of as many slices as the ball has.
 *
 * <p>Source: IBSI reference manual, local intensity features (9ST6).
 */
final class LocalIntensity {
    /** Radius of a ball of 1 cm³, in mm. */
    static final double RADIUS_MM = 10 * Math.cbrt(3 / (4 * Math.PI));

    static final List<Feature<LocalIntensity>> FEATURES = List.of(
            Feature.of(
                    Family.LOCAL_INTENSITY,
                    "local intensity peak",
                    "VJGA",
                    "1",
                    "Mean intensity in a ball of 1 cm3 around the brightest voxel of the region; the highest such mean where"
                            + " several voxels are brightest",
                    "no voxel has an intensity",
                    p -> p.local),
            Feature.of(
                    Family.LOCAL_INTENSITY,
                    "global intensity peak",
                    "0F91",
                    "1",
                    "Highest mean intensity in a ball of 1 cm3 around any voxel of the region",
                    "no voxel has an intensity",
                    p -> p.global));

    // Of the box that the balls reach.
    private final Intensities image;
    private final Size size;
    private final int[] reach;
    private final int held;
    private final double[] before;
    private final int[] countBefore;
    private double local = Double.NEGATIVE_INFINITY;
    private double global = Double.NEGATIVE_INFINITY;

    private LocalIntensity(PreparedRegion region) {
        Grid grid = region.image().grid();
        Box around = around(region.box(), grid).clip(grid.size());
        image = new Intensities(region.image(), around);
        size = around.size();
        reach = reach(grid);
        // before[row + x]: sum of the row's voxels to the left of x; only the slices that a ball reaches are held,
        // each in the place of one that is out of reach.
        held = Math.min(size.z(), 2 * reach[2] + 1);
        before = new double[(size.x() + 1) * size.y() * held];
        countBefore = new int[before.length];
        search(region, region.box().shift(-around.minX(), -around.minY(), -around.minZ()));
    }

    static List<FeatureValue> measure(PreparedRegion region) {
        return Feature.of(FEATURES, new LocalIntensity(region), Aggregations.VOLUME);
    }

    /** The box that the balls around a box's voxels reach. */
    static Box around(Box box, Grid grid) {
        int[] reach = reach(grid);
        return box.grow(reach[0], reach[1], reach[2]);
    }

    private static int[] reach(Grid grid) {
        Spacing s = grid.spacing();
        return new int[] {
            reach(s.x(), grid.size().x()),
            reach(s.y(), grid.size().y()),
            reach(s.z(), grid.size().z())
        };
    }

    // Never farther than the image: voxels may be tiny.
    private static int reach(double spacing, int size) {
        return (int) Math.min(size, Math.floor(RADIUS_MM / spacing));
    }

    private void sumRows(int z) {
        float[] voxels = image.voxels();
        int to = row(0, z);
        for (int y = 0; y < size.y(); y++) {
            int row = image.row(y, z);
            double sum = 0;
            int count = 0;
            for (int x = 0; x < size.x(); x++) {
                before[to] = sum;
                countBefore[to++] = count;
                float value = voxels[row + x];
                if (Float.isNaN(value)) continue;
                sum += value;
                count++;
            }
            before[to] = sum;
            countBefore[to++] = count;
        }
    }

    /** Where the sums of a row stand. */
    private int row(int y, int z) {
        return (z % held * size.y() + y) * (size.x() + 1);
    }

    private void search(PreparedRegion region, Box box) {
        Spacing spacing = region.spacing();
        Size part = region.morphological().grid().size();
        float[] voxels = image.voxels();
        byte[] inside = region.intensity().voxels();
        int[] halfWidths = halfWidths(spacing);
        double[] sums = new double[part.x()];
        int[] counts = new int[part.x()];
        float brightest = Float.NEGATIVE_INFINITY;
        int summed = Math.max(0, box.minZ() - reach[2]);
        for (int z = 0; z < part.z(); z++) {
            while (summed < size.z() && summed <= z + box.minZ() + reach[2]) sumRows(summed++);
            for (int y = 0; y < part.y(); y++) {
                int row = (z * part.y() + y) * part.x();
                int at = region.values().row(y, z);
                if (isEmpty(inside, row, part.x())) continue;
                sumBalls(box.minX(), y + box.minY(), z + box.minZ(), halfWidths, sums, counts);
                for (int x = 0; x < part.x(); x++) {
                    if (inside[row + x] == 0) continue;
                    double mean = sums[x] / counts[x];
                    global = Math.max(global, mean);
                    float intensity = voxels[at + x];
                    if (intensity > brightest) {
                        brightest = intensity;
                        local = mean;
                    } else if (intensity == brightest) local = Math.max(local, mean);
                }
            }
        }
    }

    private static boolean isEmpty(byte[] inside, int row, int width) {
        for (int x = 0; x < width; x++) if (inside[row + x] != 0) return false;
        return true;
    }

    // Per dz and dy how many voxels to either side lie in the ball; -1 where none does.
    private int[] halfWidths(Spacing spacing) {
        int[] widths = new int[(2 * reach[2] + 1) * (2 * reach[1] + 1)];
        int k = 0;
        for (int dz = -reach[2]; dz <= reach[2]; dz++)
            for (int dy = -reach[1]; dy <= reach[1]; dy++) {
                double y = dy * spacing.y();
                double z = dz * spacing.z();
                double left = RADIUS_MM * RADIUS_MM - y * y - z * z;
                widths[k++] = left < 0 ? -1 : (int) Math.min(size.x(), Math.floor(Math.sqrt(left) / spacing.x()));
            }
        return widths;
    }

    private void sumBalls(int fromX, int y, int z, int[] halfWidths, double[] sums, int[] counts) {
        Arrays.fill(sums, 0);
        Arrays.fill(counts, 0);
        int k = 0;
        for (int dz = -reach[2]; dz <= reach[2]; dz++)
            for (int dy = -reach[1]; dy <= reach[1]; dy++) {
                int width = halfWidths[k++];
                if (width < 0 || y + dy < 0 || y + dy >= size.y() || z + dz < 0 || z + dz >= size.z()) continue;
                addRow(row(y + dy, z + dz), fromX, width, sums, counts);
            }
    }

    private void addRow(int row, int fromX, int width, double[] sums, int[] counts) {
        int n = sums.length;
        int nx = size.x();
        // Away from the ends of the row nothing has to be cut off.
        int clearFrom = Math.min(n, Math.max(0, width - fromX));
        int clearTo = Math.max(clearFrom, Math.min(n, nx - width - fromX));
        for (int x = 0; x < clearFrom; x++) addCut(row, fromX + x, width, x, sums, counts);
        int high = row + fromX + width + 1;
        int low = row + fromX - width;
        for (int x = clearFrom; x < clearTo; x++) sums[x] += before[high + x] - before[low + x];
        for (int x = clearFrom; x < clearTo; x++) counts[x] += countBefore[high + x] - countBefore[low + x];
        for (int x = clearTo; x < n; x++) addCut(row, fromX + x, width, x, sums, counts);
    }

    private void addCut(int row, int at, int width, int x, double[] sums, int[] counts) {
        int high = row + Math.min(size.x(), at + width + 1);
        int low = row + Math.max(0, at - width);
        sums[x] += before[high] - before[low];
        counts[x] += countBefore[high] - countBefore[low];
    }
}
