// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
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
 * <p>On each drawn slice the signed distance d to the border, in mm, negative inside; between two drawn slices at z₀ and z₁
 * the distance is (1 - t) d₀ + t d₁ with t = (z - z₀) / (z₁ - z₀), and what is 0 or less belongs to the region. Branches
 * and holes need no treatment of their own. Two sections that share no voxel are first moved along the line between
 * their centres, so that a slanted tube does not fall apart.
 *
 * <p>With three drawn slices or more the line becomes a curve, for a lesion bulges between its sections: φ = d² + 2 R d, R
 * the radius of the largest disc in the section, takes the place of d, and the parabolas through three neighbouring sections
 * are mixed, (1 - t) of the one that reaches back and t of the one that reaches on. φ of a ball, a cone or a paraboloid is such
 * a parabola. Beyond the first and last drawn slice the region goes on along the last parabola, or along the line of two
 * sections for half a gap, as long as it shrinks there, and ends before the slice that would have been the next to be drawn.
 *
 * <p>Source: Raya and Udupa 1990, Shape-based interpolation of multidimensional objects, doi:10.1109/42.52980; mixed
 * parabolas: Overhauser 1968, Analytic definition of curves and surfaces by parabolic blending; φ, moving by centres and
 * closing the ends: common practice, no source.
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
        double thickness = drawn.grid().spacing().z();
        workers.forEach(sections.size() - 1, i -> fillGap(sections, i, size, thickness, filled));
        if (settings.closeEnds() && sections.size() > 1) {
            List<Section> back = new ArrayList<>(sections);
            Collections.reverse(back);
            closeEnd(sections, size, thickness, filled);
            closeEnd(back, size, thickness, filled);
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

    /** One drawn slice: its signed distances, its centre in voxels, its number of voxels, and the radius of its largest disc. */
    private record Section(int z, float[] distance, double centreX, double centreY, int count, double radius) {
        double phi(int i) {
            return distance[i] * (distance[i] + 2 * radius);
        }
    }

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
        double radius = 0;
        for (float d : distance) radius = Math.max(radius, -d);
        return new Section(z, distance, (double) sumX / count, (double) sumY / count, count, radius);
    }

    private static void copy(Section section, Mask drawn, byte[] filled) {
        int slice = section.distance().length;
        System.arraycopy(drawn.voxels(), section.z() * slice, filled, section.z() * slice, slice);
    }

    // Next to an empty slice the region ends half-way.
    private static void fillGap(List<Section> sections, int first, Size size, double thickness, byte[] filled) {
        Section a = sections.get(first);
        Section b = sections.get(first + 1);
        int slice = a.distance().length;
        List<Section> before = threeFrom(sections, first - 1);
        List<Section> after = threeFrom(sections, first);
        if (!before.isEmpty() || !after.isEmpty()) {
            fillBent(a, b, before.isEmpty() ? after : before, after.isEmpty() ? before : after, thickness, filled);
            return;
        }
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

    /** Three neighbouring sections of which each shares voxels with the next; none if there are no such. */
    private static List<Section> threeFrom(List<Section> sections, int first) {
        if (first < 0 || first + 3 > sections.size()) return List.of();
        List<Section> three = sections.subList(first, first + 3);
        return overlap(three.get(0), three.get(1)) && overlap(three.get(1), three.get(2)) ? three : List.of();
    }

    private static void fillBent(
            Section a, Section b, List<Section> before, List<Section> after, double thickness, byte[] filled) {
        int slice = a.distance().length;
        for (int i = 0; i < slice; i++) {
            double from = a.phi(i);
            double to = b.phi(i);
            double bendBefore = bend(before, i, thickness);
            double bendAfter = bend(after, i, thickness);
            for (int z = a.z() + 1; z < b.z(); z++) {
                double t = (z - a.z()) / (double) (b.z() - a.z());
                double bend = (1 - t) * bendBefore + t * bendAfter;
                double phi = (1 - t) * from + t * to + bend * square(thickness) * (z - a.z()) * (z - b.z());
                if (phi <= 0) filled[z * slice + i] = 1;
            }
        }
    }

    // Second divided difference of φ over z in mm.
    private static double bend(List<Section> three, int i, double thickness) {
        Section a = three.get(0);
        Section b = three.get(1);
        Section c = three.get(2);
        double first = (b.phi(i) - a.phi(i)) / (b.z() - a.z());
        double second = (c.phi(i) - b.phi(i)) / (c.z() - b.z());
        return (second - first) / (c.z() - a.z()) / square(thickness);
    }

    private static double square(double v) {
        return v * v;
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

    // The first section is the end.
    private static void closeEnd(List<Section> sections, Size size, double thickness, byte[] filled) {
        Section end = sections.get(0);
        Section before = sections.get(1);
        if (end.count() == 0 || before.count() <= end.count()) return;
        int step = Integer.signum(end.z() - before.z());
        int gap = Math.abs(end.z() - before.z());
        int slice = end.distance().length;
        List<Section> three = threeFrom(sections, 0);
        for (int i = 0; i < slice; i++) {
            double value = three.isEmpty() ? end.distance()[i] : end.phi(i);
            double slope = (value - (three.isEmpty() ? before.distance()[i] : before.phi(i))) / gap;
            double bend = three.isEmpty() ? 0 : bend(three, i, thickness) * square(thickness);
            double last = value;
            for (int k = 1; k < (three.isEmpty() ? gap / 2 + 1 : gap) && last < 0; k++) {
                int z = end.z() + step * k;
                if (z < 0 || z >= size.z()) break;
                last = Math.max(last, value + k * slope + bend * k * (k + gap));
                if (last < 0) filled[z * slice + i] = 1;
            }
        }
    }
}
