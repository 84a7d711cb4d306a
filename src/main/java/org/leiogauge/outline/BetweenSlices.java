// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.Arrays;
import java.util.List;
import java.util.SortedSet;
import java.util.TreeSet;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.task.Workers;

/**
 * A region drawn on some slices, filled in between them.
 *
 * <p>On each drawn slice the signed distance to the border, in mm, negative inside; between two drawn slices at z₀ and z₁
 * the distance is (1 - t) d₀ + t d₁ with t = (z - z₀) / (z₁ - z₀), and what is 0 or less belongs to the region. Branches
 * and holes need no treatment of their own. Two sections that share no voxel are first moved along the line between
 * their centres, so that a slanted tube does not fall apart. Beyond the first and last drawn slice the region goes on at
 * most half the next gap, as long as it shrinks there.
 *
 * <p>Source: Raya and Udupa 1990, Shape-based interpolation of multidimensional objects, doi:10.1109/42.52980; moving by
 * centres and closing the ends: common practice.
 */
public final class BetweenSlices {
    private BetweenSlices() {}

    /** @param closeEnds whether the region goes on beyond the first and last drawn slice */
    public record Settings(boolean closeEnds) {
        public static Settings standard() {
            return new Settings(true);
        }
    }

    /**
     * Filled in along the grid's z axis.
     *
     * @param drawn the region on the drawn slices
     * @param drawnSlices the slices that the reader worked on; one without a voxel says that the region is absent there
     */
    public static Mask fill(Mask drawn, SortedSet<Integer> drawnSlices, Settings settings, Workers workers) {
        Size size = drawn.grid().size();
        if (drawnSlices.isEmpty()) throw new IllegalArgumentException("drawnSlices must name a slice, got none");
        if (drawnSlices.first() < 0 || drawnSlices.last() >= size.z())
            throw new IllegalArgumentException("drawnSlices must be 0 to " + (size.z() - 1) + ", got " + drawnSlices);
        List<Integer> slices = List.copyOf(drawnSlices);
        List<Section> sections = workers.map(slices.size(), i -> section(drawn, slices.get(i)));
        byte[] filled = new byte[size.voxels()];
        for (int i = 0; i < sections.size(); i++) copy(sections.get(i), drawn, filled);
        workers.forEach(sections.size() - 1, i -> fillGap(sections.get(i), sections.get(i + 1), size, filled));
        if (settings.closeEnds() && sections.size() > 1) {
            int last = sections.size() - 1;
            closeEnd(sections.get(0), sections.get(1), size, filled);
            closeEnd(sections.get(last), sections.get(last - 1), size, filled);
        }
        return new Mask(drawn.grid(), filled);
    }

    /** As above; every slice that holds a voxel of the region is a drawn one. */
    public static Mask fill(Mask drawn, Settings settings, Workers workers) {
        Size size = drawn.grid().size();
        int slice = size.x() * size.y();
        SortedSet<Integer> slices = new TreeSet<>();
        for (int i = 0; i < drawn.voxels().length; i++) if (drawn.voxels()[i] != 0) slices.add(i / slice);
        return fill(drawn, slices, settings, workers);
    }

    /** One drawn slice: its signed distances, its centre in voxels, and its number of voxels. */
    private record Section(int z, float[] distance, double centreX, double centreY, int count) {}

    private static Section section(Mask drawn, int z) {
        Size size = drawn.grid().size();
        Grid plane = new Grid(
                new Size(size.x(), size.y(), 1),
                drawn.grid().spacing(),
                drawn.grid().direction(),
                drawn.grid().origin());
        int slice = size.x() * size.y();
        byte[] voxels = Arrays.copyOfRange(drawn.voxels(), z * slice, (z + 1) * slice);
        long sumX = 0;
        long sumY = 0;
        int count = 0;
        for (int i = 0; i < slice; i++) {
            if (voxels[i] == 0) continue;
            count++;
            sumX += i % size.x();
            sumY += i / size.x();
        }
        float[] distance = DistanceTransform.signed(new Mask(plane, voxels), Workers.SINGLE)
                .voxels();
        return new Section(z, distance, (double) sumX / count, (double) sumY / count, count);
    }

    private static void copy(Section section, Mask drawn, byte[] filled) {
        int slice = section.distance().length;
        System.arraycopy(drawn.voxels(), section.z() * slice, filled, section.z() * slice, slice);
    }

    // Next to an empty slice the region ends half-way.
    private static void fillGap(Section a, Section b, Size size, byte[] filled) {
        int slice = a.distance().length;
        boolean apart = a.count() > 0 && b.count() > 0 && !overlap(a, b);
        double moveX = apart ? b.centreX() - a.centreX() : 0;
        double moveY = apart ? b.centreY() - a.centreY() : 0;
        for (int z = a.z() + 1; z < b.z(); z++) {
            double t = (z - a.z()) / (double) (b.z() - a.z());
            for (int i = 0; i < slice; i++) {
                double d = a.count() == 0 || b.count() == 0
                        ? nearer(a, b, t, i)
                        : (1 - t) * at(a, size, i, -t * moveX, -t * moveY)
                                + t * at(b, size, i, (1 - t) * moveX, (1 - t) * moveY);
                if (d <= 0) filled[z * slice + i] = 1;
            }
        }
    }

    private static double nearer(Section a, Section b, double t, int i) {
        return t < 0.5 ? a.distance()[i] : b.distance()[i];
    }

    private static boolean overlap(Section a, Section b) {
        for (int i = 0; i < a.distance().length; i++) if (a.distance()[i] < 0 && b.distance()[i] < 0) return true;
        return false;
    }

    // The distance at a voxel moved by a part of a voxel, to the nearest; beyond the border the last one.
    private static double at(Section section, Size size, int i, double moveX, double moveY) {
        if (moveX == 0 && moveY == 0) return section.distance()[i];
        long x = Math.round(i % size.x() + moveX);
        long y = Math.round((double) (i / size.x()) + moveY);
        int inX = (int) Math.max(0, Math.min(size.x() - 1, x));
        int inY = (int) Math.max(0, Math.min(size.y() - 1, y));
        return section.distance()[inY * size.x() + inX];
    }

    private static void closeEnd(Section end, Section before, Size size, byte[] filled) {
        if (end.count() == 0 || before.count() <= end.count()) return;
        int step = Integer.signum(end.z() - before.z());
        int gap = Math.abs(end.z() - before.z());
        int slice = end.distance().length;
        for (int k = 1; k <= gap / 2; k++) {
            int z = end.z() + step * k;
            if (z < 0 || z >= size.z()) return;
            for (int i = 0; i < slice; i++) {
                double slope = Math.max(0, (end.distance()[i] - before.distance()[i]) / gap);
                if (end.distance()[i] + k * slope < 0) filled[z * slice + i] = 1;
            }
        }
    }
}
