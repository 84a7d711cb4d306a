// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.task.InputException;

/**
 * Slices that lie evenly one behind the other, and the grid that they make.
 *
 * <p>Sorted by position along the slice normal. Steps may differ from their median by 1 % or 0.01 mm, whichever is more;
 * slices may be shifted in their plane by a tenth of a pixel.
 */
record Stack(List<Slice> slices, Grid grid, List<String> decisions) {
    private static final double UNEVEN_SHARE = 0.01;
    private static final double UNEVEN_MM = 0.01;
    private static final double SHIFT_PIXELS = 0.1;

    /** Positions closer than this are one place. */
    static final double SAME_PLACE_MM = 0.01;

    static Stack of(ImageSeries series, List<Slice> unsorted) throws InputException {
        Vector normal = unsorted.get(0).normal();
        List<Slice> slices = unsorted.stream()
                .sorted(Comparator.comparingDouble(s -> s.along(normal)))
                .toList();
        List<String> decisions = new ArrayList<>();
        double step = step(series, slices, normal, decisions);
        Slice first = slices.get(0);
        requireStraight(series, slices, normal);
        try {
            Grid grid = new Grid(
                    new Size(first.columns(), first.rows(), slices.size()),
                    new Spacing(first.spacingX(), first.spacingY(), step),
                    new DirectionCosines(first.row(), first.column(), normal),
                    first.position());
            return new Stack(slices, grid, decisions);
        } catch (IllegalArgumentException e) {
            throw new InputException(
                    series.firstFile(), series.label(), e.getMessage(), "a stack of slices that memory can hold");
        }
    }

    private static double step(ImageSeries series, List<Slice> slices, Vector normal, List<String> decisions)
            throws InputException {
        int n = slices.size();
        if (n == 1) {
            if (slices.get(0).thickness().isEmpty()) decisions.add("a single slice of unknown thickness: 1 mm assumed");
            return slices.get(0).thickness().orElse(1);
        }
        double[] steps = new double[n - 1];
        for (int i = 0; i < n - 1; i++)
            steps[i] = slices.get(i + 1).along(normal) - slices.get(i).along(normal);
        double[] sorted = steps.clone();
        java.util.Arrays.sort(sorted);
        double median = sorted[(n - 2) / 2];
        double tolerance = Math.max(UNEVEN_SHARE * median, UNEVEN_MM);
        for (int i = 0; i < steps.length; i++)
            if (Math.abs(steps[i] - median) > tolerance) throw uneven(series, slices.get(i), normal, steps[i], median);
        double mean = (slices.get(n - 1).along(normal) - slices.get(0).along(normal)) / (n - 1);
        double most = Math.max(sorted[n - 2] - mean, mean - sorted[0]);
        if (most > 1e-4)
            decisions.add(
                    text("slice steps differ by up to %.4f mm from their mean %.4f mm, taken as even", most, mean));
        return mean;
    }

    private static InputException uneven(ImageSeries series, Slice before, Vector normal, double step, double median) {
        double times = step / median;
        long missing = Math.round(times) - 1;
        boolean isGap = missing >= 1 && Math.abs(times - missing - 1) < 0.05 * (missing + 1);
        return new InputException(
                series.firstFile(),
                series.label(),
                text("a step of %.3f mm behind the slice at %.3f mm", step, before.along(normal))
                        + (isGap ? " (" + missing + " missing slice" + (missing > 1 ? "s" : "") + ")" : ""),
                text("even steps, here %.3f mm", median));
    }

    private static void requireStraight(ImageSeries series, List<Slice> slices, Vector normal) throws InputException {
        Slice first = slices.get(0);
        double most = SHIFT_PIXELS * Math.min(first.spacingX(), first.spacingY());
        for (Slice slice : slices) {
            Vector way = slice.position().minus(first.position());
            double shift = Math.hypot(way.dot(first.row()), way.dot(first.column()));
            if (shift > Math.max(most, UNEVEN_MM))
                throw new InputException(
                        slice.header().file(),
                        series.label(),
                        text("a slice shifted by %.3f mm in its plane (tilted stack)", shift),
                        text("slices straight behind each other, within %.3f mm", most));
        }
    }

    private static String text(String format, Object... values) {
        return String.format(Locale.ROOT, format, values);
    }
}
