// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SortedMap;
import java.util.TreeMap;

/**
 * Contours to a mask: a voxel belongs to it if its centre lies inside an odd number of its slice's contours.
 *
 * <p>So a contour inside another is a hole, whether drawn apart or joined to it by a key-hole line there and back. Centres on
 * a line belong to the side of higher index. Cost: slices' contour points times the rows that they span, plus the voxels.
 *
 * <p>Source: even-odd rule, common practice; reference contours and mask of the CT phantom agree with it.
 */
public final class ContourFill {
    // Points that were meant to lie on a voxel centre are off by rounding.
    private static final double SNAP = 1e-6;
    private static final double SAME_PLANE = 1e-3;

    private ContourFill() {}

    /**
     * A filled region.
     *
     * @param outside number of contours, by their place in the list, that do not reach into the grid
     * @param tilted contours that leave their slice: drawn on other planes than the grid's
     * @param crowded contours passed over because others lie nearer to the centre of the same slice
     * @param offPlaneMm largest distance of a filled contour from its slice's centre plane
     */
    public record Filled(
            Mask mask, List<Integer> outside, List<Integer> tilted, List<Integer> crowded, double offPlaneMm) {
        public Filled {
            outside = List.copyOf(outside);
            tilted = List.copyOf(tilted);
            crowded = List.copyOf(crowded);
        }
    }

    /** Where a contour lies, in voxels across the slices: mean, and largest distance from it. */
    private record Height(double mean, double spread) {}

    /** Fills each contour on the slice that is nearest to it, if that is within half a step. */
    public static Filled fill(Grid grid, List<Contour> contours) {
        List<Integer> outside = new ArrayList<>();
        List<Integer> tilted = new ArrayList<>();
        List<Integer> crowded = new ArrayList<>();
        SortedMap<Integer, TreeMap<Double, List<Integer>>> slices = new TreeMap<>();
        for (int i = 0; i < contours.size(); i++) {
            Height height = height(grid, contours.get(i));
            int z = (int) Math.rint(clamp(height.mean, grid.size().z()));
            if (height.spread > 0.5) tilted.add(i);
            else if (Math.abs(height.mean - z) > 0.5 + SNAP || !reaches(grid, contours.get(i))) outside.add(i);
            else
                slices.computeIfAbsent(z, k -> new TreeMap<>())
                        .computeIfAbsent(Math.rint((height.mean - z) / SAME_PLANE) * SAME_PLANE, k -> new ArrayList<>())
                        .add(i);
        }
        byte[] voxels = new byte[grid.size().voxels()];
        double offPlane = 0;
        for (Map.Entry<Integer, TreeMap<Double, List<Integer>>> slice : slices.entrySet()) {
            double nearest = slice.getValue().keySet().stream()
                    .min((a, b) -> Double.compare(Math.abs(a), Math.abs(b)))
                    .orElseThrow();
            offPlane = Math.max(offPlane, Math.abs(nearest) * grid.spacing().z());
            for (Map.Entry<Double, List<Integer>> plane : slice.getValue().entrySet()) {
                if (plane.getKey() != nearest) crowded.addAll(plane.getValue());
                else for (int i : plane.getValue()) flip(grid, slice.getKey(), contours.get(i), voxels);
            }
            inside(grid, slice.getKey(), voxels);
        }
        return new Filled(new Mask(grid, voxels), outside, tilted, crowded, offPlane);
    }

    /** Fills contours on the slices that they are given for, wherever exactly they lie. */
    public static Mask fill(Grid grid, Map<Integer, List<Contour>> bySlice) {
        byte[] voxels = new byte[grid.size().voxels()];
        for (Map.Entry<Integer, List<Contour>> slice : bySlice.entrySet()) {
            int z = slice.getKey();
            if (z < 0 || z >= grid.size().z())
                throw new IllegalArgumentException("slice must be in the grid of " + grid.size() + ", got " + z);
            for (Contour contour : slice.getValue()) flip(grid, z, contour, voxels);
            inside(grid, z, voxels);
        }
        return new Mask(grid, voxels);
    }

    private static double clamp(double z, int size) {
        return Math.max(0, Math.min(size - 1.0, z));
    }

    private static Height height(Grid grid, Contour contour) {
        double sum = 0;
        double min = Double.POSITIVE_INFINITY;
        double max = Double.NEGATIVE_INFINITY;
        for (Point point : contour.points()) {
            double z = grid.index(point).z();
            sum += z;
            min = Math.min(min, z);
            max = Math.max(max, z);
        }
        double mean = sum / contour.points().size();
        return new Height(mean, Math.max(max - mean, mean - min));
    }

    private static boolean reaches(Grid grid, Contour contour) {
        double minX = Double.POSITIVE_INFINITY;
        double maxX = Double.NEGATIVE_INFINITY;
        double minY = Double.POSITIVE_INFINITY;
        double maxY = Double.NEGATIVE_INFINITY;
        for (Point point : contour.points()) {
            Index at = grid.index(point);
            minX = Math.min(minX, at.x());
            maxX = Math.max(maxX, at.x());
            minY = Math.min(minY, at.y());
            maxY = Math.max(maxY, at.y());
        }
        return maxX > -0.5
                && minX < grid.size().x() - 0.5
                && maxY > -0.5
                && minY < grid.size().y() - 0.5;
    }

    /** Marks, in each row, the first voxel centre behind each crossing of the contour. */
    private static void flip(Grid grid, int z, Contour contour, byte[] voxels) {
        List<Point> points = contour.points();
        Index last = grid.index(points.get(points.size() - 1));
        double x0 = snapped(last.x());
        double y0 = snapped(last.y());
        for (Point point : points) {
            Index at = grid.index(point);
            double x1 = snapped(at.x());
            double y1 = snapped(at.y());
            // a row is crossed by the half-open span: a corner counts once
            int from = (int) Math.max(0, Math.ceil(Math.min(y0, y1)));
            int to = (int) Math.min(grid.size().y() - 1.0, Math.ceil(Math.max(y0, y1)) - 1);
            for (int y = from; y <= to; y++) {
                double x = snapped(x0 + (y - y0) * (x1 - x0) / (y1 - y0));
                double first = Math.max(0, Math.ceil(x));
                if (first < grid.size().x()) voxels[grid.offset((int) first, y, z)] ^= 1;
            }
            x0 = x1;
            y0 = y1;
        }
    }

    private static double snapped(double index) {
        return Math.rint(index / SNAP) * SNAP;
    }

    /** From marks to the region: a voxel is inside if an odd number of marks is at or before it in its row. */
    private static void inside(Grid grid, int z, byte[] voxels) {
        int width = grid.size().x();
        for (int y = 0; y < grid.size().y(); y++) {
            int row = grid.offset(0, y, z);
            for (int x = 1; x < width; x++) voxels[row + x] ^= voxels[row + x - 1];
        }
    }
}
