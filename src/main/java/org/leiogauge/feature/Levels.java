// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;

/**
 * The grey levels of a region, 1 to {@link #count()}, on its bounding box, x fastest, and 0 outside the region. A margin
 * of zeros lies around the box, so that a neighbour may be looked at without asking where the box ends.
 *
 * <p>Source: IBSI reference manual, intensity discretisation (4R0B; K15C fixed number, Q3RU fixed width).
 */
public final class Levels {
    private final Size size;
    private final int margin;
    private final int count;
    private final int voxels;
    private final char[] levels;

    private Levels(Size size, int margin, int count, int voxels, char[] levels) {
        this.size = size;
        this.margin = margin;
        this.count = count;
        this.voxels = voxels;
        this.levels = levels;
    }

    /** @param intensities of the region's grid */
    static Levels of(Intensities intensities, Mask region, Settings.Discretise method, int margin) {
        double[] ends = ends(intensities, region);
        Bins bins = Bins.of(method, ends[0], ends[1]);
        Size size = region.grid().size();
        long padded = (size.x() + 2L * margin) * (size.y() + 2L * margin) * (size.z() + 2L * margin);
        if (padded > Integer.MAX_VALUE - 8)
            throw new IllegalArgumentException("region must fit into fewer than 2³¹ voxels, got " + size);
        char[] levels = new char[(int) padded];
        Levels result = new Levels(size, margin, bins.count(), region.count(), levels);
        Grid grid = region.grid();
        byte[] inside = region.voxels();
        float[] all = intensities.voxels();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++) {
                int from = grid.offset(0, y, z);
                int row = intensities.row(y, z);
                int to = result.offset(0, y, z);
                for (int x = 0; x < size.x(); x++)
                    if (inside[from + x] != 0) levels[to + x] = (char) bins.level(all[row + x]);
            }
        return result;
    }

    /** The highest grey level: the number of bins, up to the highest that is not empty. */
    public int count() {
        return count;
    }

    /** Number of voxels in the region. */
    public int voxels() {
        return voxels;
    }

    public Size size() {
        return size;
    }

    /** The grey level of a voxel of the box, 0 outside the region. */
    public int at(int x, int y, int z) {
        return levels[offset(x, y, z)];
    }

    char[] padded() {
        return levels;
    }

    int strideY() {
        return size.x() + 2 * margin;
    }

    int strideZ() {
        return strideY() * (size.y() + 2 * margin);
    }

    int offset(int x, int y, int z) {
        return (z + margin) * strideZ() + (y + margin) * strideY() + x + margin;
    }

    /** Whether a slice holds no voxel of the region. */
    boolean isEmpty(int z) {
        int behind = behind(z);
        for (int i = first(z); i < behind; i++) if (levels[i] != 0) return false;
        return true;
    }

    /** From the first voxel of a slice to behind its last, with the margin at its sides. */
    int first(int z) {
        return offset(0, 0, z);
    }

    int behind(int z) {
        return offset(size.x() - 1, size.y() - 1, z) + 1;
    }

    private static double[] ends(Intensities intensities, Mask region) {
        float[] ends = {Float.POSITIVE_INFINITY, Float.NEGATIVE_INFINITY};
        intensities.forEach(region, x -> {
            ends[0] = Math.min(ends[0], x);
            ends[1] = Math.max(ends[1], x);
        });
        return new double[] {ends[0], ends[1]};
    }

    /**
     * Level of intensity x: ⌊(x − x₀) n / s⌋ + 1, and the number of bins at most.
     *
     * <p>A fixed number of bins lies over s = highest − lowest with n bins in it, and bins of a fixed width have s = width
     * and n = 1: whole intensities then fall on the edge of a bin without round-off.
     *
     * @param origin x₀
     * @param perSpan n
     * @param span s; 0 where all intensities are one
     */
    record Bins(double origin, int perSpan, double span, int count) {
        static Bins of(Settings.Discretise method, double low, double high) {
            if (method instanceof Settings.Discretise.FixedWidth fixed)
                return of(fixed.width(), fixed.origin(), low, high);
            int bins = ((Settings.Discretise.FixedNumber) method).bins();
            return low == high ? new Bins(low, 1, 0, 1) : new Bins(low, bins, high - low, bins);
        }

        static Bins ofWidth(double origin, double width, int count) {
            return new Bins(origin, 1, width, count);
        }

        private static Bins of(double width, double origin, double low, double high) {
            if (low < origin)
                throw new IllegalArgumentException(
                        "origin of the bins must be at most the region's lowest intensity, " + low + ", got " + origin);
            double count = Math.floor((high - origin) / width) + 1;
            if (count > Settings.MOST_LEVELS)
                throw new IllegalArgumentException("width of the bins must give at most " + Settings.MOST_LEVELS
                        + " grey levels, got " + width + " from " + origin + " to " + high);
            return ofWidth(origin, width, (int) count);
        }

        int level(double intensity) {
            if (span == 0) return 1;
            return Math.min(count, (int) Math.floor((intensity - origin) * perSpan / span) + 1);
        }
    }
}
