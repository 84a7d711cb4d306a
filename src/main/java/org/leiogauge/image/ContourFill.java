// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashSet;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeMap;
import org.leiogauge.task.InputException;

/**
 * The region inside closed contours: a voxel belongs to it if a ray from its centre crosses the contours of its slice an
 * odd number of times. So contours inside others cut holes, and so does a line that leads into a hole and back.
 *
 * <p>A contour counts for the slice that its points are nearest to; it may lie up to half a slice away and lean by as
 * much. Cost: linear in points and in voxels of the slices that have contours.
 *
 * <p>Source: even-odd rule; DICOM PS3.3 C.8.8.6 for closed planar contours.
 */
public final class ContourFill {
    // Contours drawn on the outermost slices lie in their planes up to round-off.
    private static final double HALF_A_SLICE = 0.5 + 1e-3;

    private ContourFill() {}

    /**
     * The region and what was decided.
     *
     * @param decisions for the report
     */
    public record Filled(Mask mask, List<String> decisions) {}

    /**
     * Fills contours on a grid.
     *
     * @param source file and region as the user knows them, for messages
     * @throws InputException if a contour lies outside the grid or across its slices
     */
    public static Filled fill(Object source, List<Contour> contours, Grid grid) throws InputException {
        Set<Contour> different = new LinkedHashSet<>(contours);
        List<String> decisions = new ArrayList<>();
        if (different.size() < contours.size())
            decisions.add(contours.size() - different.size() + " contours that stand twice were taken once");
        Map<Integer, List<double[][]>> bySlice = new TreeMap<>();
        int cut = 0;
        for (Contour contour : different) {
            double[][] line = indices(contour, grid);
            bySlice.computeIfAbsent(slice(source, line, grid), z -> new ArrayList<>())
                    .add(line);
            if (reachesOut(line, grid.size())) cut++;
        }
        if (cut > 0) decisions.add(cut + " contours run out of the image and were cut at its border");
        byte[] voxels = new byte[grid.size().voxels()];
        bySlice.forEach((z, lines) -> fillSlice(lines, grid, z, voxels));
        return new Filled(new Mask(grid, voxels), decisions);
    }

    private static double[][] indices(Contour contour, Grid grid) {
        double[][] line = new double[contour.points().size()][];
        for (int i = 0; i < line.length; i++) {
            Index index = grid.index(contour.points().get(i));
            line[i] = new double[] {index.x(), index.y(), index.z()};
        }
        return line;
    }

    private static int slice(Object source, double[][] line, Grid grid) throws InputException {
        double middle = Arrays.stream(line).mapToDouble(p -> p[2]).average().orElseThrow();
        for (double[] point : line)
            if (Math.abs(point[2] - middle) > HALF_A_SLICE)
                throw new InputException(
                        source, "contour", "a contour that runs across slices", "contours in the planes of the slices");
        if (middle < -HALF_A_SLICE || middle > grid.size().z() - 1 + HALF_A_SLICE || isBeside(line, grid.size()))
            throw new InputException(
                    source,
                    "contour",
                    "a contour outside the image, near " + grid.point(line[0][0], line[0][1], line[0][2]),
                    "contours inside the series' volume");
        return (int) Math.max(0, Math.min(grid.size().z() - 1, Math.round(middle)));
    }

    private static boolean isBeside(double[][] line, Size size) {
        return Arrays.stream(line).allMatch(p -> p[0] < -0.5)
                || Arrays.stream(line).allMatch(p -> p[1] < -0.5)
                || Arrays.stream(line).allMatch(p -> p[0] > size.x() - 0.5)
                || Arrays.stream(line).allMatch(p -> p[1] > size.y() - 0.5);
    }

    private static boolean reachesOut(double[][] line, Size size) {
        return Arrays.stream(line)
                .anyMatch(p -> p[0] < -0.5 || p[1] < -0.5 || p[0] > size.x() - 0.5 || p[1] > size.y() - 0.5);
    }

    private static void fillSlice(List<double[][]> lines, Grid grid, int z, byte[] voxels) {
        Size size = grid.size();
        for (int y = 0; y < size.y(); y++) {
            double[] crossings = crossings(lines, y);
            int row = grid.offset(0, y, z);
            for (int i = 0; i + 1 < crossings.length; i += 2) {
                int from = (int) Math.max(0, Math.ceil(crossings[i]));
                int to = (int) Math.min(size.x() - 1, Math.ceil(crossings[i + 1]) - 1);
                for (int x = from; x <= to; x++) voxels[row + x] = 1;
            }
        }
    }

    // Half-open edges: a corner on the row counts once.
    private static double[] crossings(List<double[][]> lines, int y) {
        List<Double> at = new ArrayList<>();
        for (double[][] line : lines)
            for (int i = 0; i < line.length; i++) {
                double[] a = line[i];
                double[] b = line[(i + 1) % line.length];
                if ((a[1] <= y) != (b[1] <= y)) at.add(a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]));
            }
        return at.stream().mapToDouble(Double::doubleValue).sorted().toArray();
    }
}
