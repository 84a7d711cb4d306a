// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import org.leiogauge.image.Box;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * The outer border lines of a region, slice by slice, finer than its voxels.
 *
 * <p>Each slice of the mask is smoothed in its own plane with a Gaussian of the given width in voxels, and the line where
 * the result is 0.5 is traced (marching squares; where two inside corners of a square lie across from each other, the
 * mean of the four decides). Slices are not mixed: they are too thick for that, and what a reader draws is a line in a
 * slice. The steps of the voxels shrink to a few hundredths of a voxel; a curve of radius R moves in by about
 * σ² / 2R, and parts narrower than about two voxels go. Holes are left out. Places are in mm from the grid's first voxel
 * along its own axes: a frame turned, not stretched, against patient space.
 *
 * <p>Source: Lorensen and Cline 1987, doi:10.1145/37402.37422, in two dimensions; smoothing: common practice, no source.
 */
final class SliceContours {
    private static final int REACH = 4;

    private final float[] occupancy;
    private final int width;
    private final int height;

    private SliceContours(float[] occupancy, int width, int height) {
        this.occupancy = occupancy;
        this.width = width;
        this.height = height;
    }

    /**
     * In the order of the slices.
     *
     * @param smoothingVoxels standard deviation of the Gaussian, in voxels, above 0
     */
    static List<SliceContour> of(Mask region, double smoothingVoxels, Workers workers) {
        if (region.isEmpty()) return List.of();
        int pad = (int) Math.ceil(REACH * smoothingVoxels) + 1;
        Box box = region.boundingBox().orElseThrow().grow(pad, pad, 0);
        Mask part = region.crop(box);
        Size size = part.grid().size();
        Volume smooth = smooth(part, smoothingVoxels, workers);
        int slice = size.x() * size.y();
        List<List<SliceContour>> all = workers.map(size.z(), z -> {
            float[] plane = Arrays.copyOfRange(smooth.voxels(), z * slice, (z + 1) * slice);
            return new SliceContours(plane, size.x(), size.y())
                    .trace(box, z, region.grid().spacing());
        });
        return all.stream().flatMap(List::stream).toList();
    }

    private static Volume smooth(Mask part, double smoothingVoxels, Workers workers) {
        Spacing spacing = part.grid().spacing();
        return GaussianSmoothing.smooth(
                part.asVolume(),
                new GaussianSmoothing.Settings(smoothingVoxels * spacing.x(), smoothingVoxels * spacing.y(), 0, REACH),
                workers);
    }

    private List<SliceContour> trace(Box box, int z, Spacing spacing) {
        int[] next = joins();
        List<SliceContour> lines = new ArrayList<>();
        for (int start = 0; start < next.length; start++) {
            if (next[start] < 0) continue;
            double[] xs = new double[16];
            double[] ys = new double[16];
            int n = 0;
            for (int e = start; next[e] >= 0; ) {
                if (n == xs.length) {
                    xs = Arrays.copyOf(xs, 2 * n);
                    ys = Arrays.copyOf(ys, 2 * n);
                }
                double t = crossing(e);
                int corner = e / 2;
                xs[n] = (box.minX() + corner % width + (e % 2 == 0 ? t : 0)) * spacing.x();
                ys[n++] = (box.minY() + corner / width + (e % 2 == 1 ? t : 0)) * spacing.y();
                int following = next[e];
                next[e] = -1;
                e = following;
            }
            if (n < 3) continue;
            SliceContour line = new SliceContour(box.minZ() + z, Arrays.copyOf(xs, n), Arrays.copyOf(ys, n));
            if (line.area() > 0) lines.add(line);
        }
        return lines;
    }

    // Edge 2i runs from voxel i along x, edge 2i + 1 along y. The line leaves a square where the region ends, going
    // round
    // the square anticlockwise, so that the region lies on its left.
    private int[] joins() {
        int[] next = new int[2 * width * height];
        Arrays.fill(next, -1);
        int[] edges = new int[4];
        for (int y = 0; y < height - 1; y++)
            for (int x = 0; x < width - 1; x++) {
                int i = y * width + x;
                int inside = in(i) | in(i + 1) << 1 | in(i + width + 1) << 2 | in(i + width) << 3;
                if (inside == 0 || inside == 15) continue;
                edges[0] = 2 * i;
                edges[1] = 2 * (i + 1) + 1;
                edges[2] = 2 * (i + width);
                edges[3] = 2 * i + 1;
                join(next, edges, inside, i);
            }
        return next;
    }

    private void join(int[] next, int[] edges, int inside, int i) {
        boolean across = inside == 5 || inside == 10;
        boolean linked =
                across && occupancy[i] + occupancy[i + 1] + occupancy[i + width] + occupancy[i + width + 1] >= 2;
        for (int k = 0; k < 4; k++) {
            boolean ends = (inside >> k & 1) == 1 && (inside >> (k + 1) % 4 & 1) == 0;
            if (!ends) continue;
            int step = linked ? 1 : 3;
            int other = (k + step) % 4;
            while (!begins(inside, other)) other = (other + step) % 4;
            next[edges[k]] = edges[other];
        }
    }

    private static boolean begins(int inside, int k) {
        return (inside >> k & 1) == 0 && (inside >> (k + 1) % 4 & 1) == 1;
    }

    private int in(int i) {
        return occupancy[i] >= 0.5f ? 1 : 0;
    }

    private double crossing(int edge) {
        int i = edge / 2;
        double a = occupancy[i];
        double b = occupancy[edge % 2 == 0 ? i + 1 : i + width];
        return (0.5 - a) / (b - a);
    }

    /** Centre of a slice along the grid's z axis, in mm in the same frame. */
    static double z(Grid grid, SliceContour line) {
        return line.slice() * grid.spacing().z();
    }
}
