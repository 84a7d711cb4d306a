// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayDeque;
import java.util.Arrays;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.IntPredicate;
import org.leiogauge.task.Workers;

/** The lesion's points by their place on the cubic lattice they lie on: neighbours, and means over balls. */
final class PointLattice {
    private static final int NONE = -1;

    private final double spacing;
    private final int reach;
    private final int side;
    private final int[][] index;
    private final int[] rowStart;

    PointLattice(Lesion lesion) {
        List<double[]> points = lesion.points();
        spacing = lesion.pointSpacing();
        index = new int[points.size()][];
        int far = 0;
        for (int p = 0; p < index.length; p++) {
            double[] at = points.get(p);
            index[p] = new int[] {whole(at[0]), whole(at[1]), whole(at[2])};
            for (int i : index[p]) far = Math.max(far, Math.abs(i));
        }
        reach = far + 1;
        side = 2 * reach + 1;
        rowStart = new int[side * side + 1];
        for (int[] i : index) rowStart[row(i[1], i[2]) + 1]++;
        for (int r = 0; r < side * side; r++) rowStart[r + 1] += rowStart[r];
    }

    private int whole(double mm) {
        return (int) Math.rint(mm / spacing);
    }

    private int row(int j, int k) {
        return (k + reach) * side + j + reach;
    }

    // Points stand in the order x, then y, then z, so that a row is one stretch of them.
    private int point(int i, int j, int k) {
        if (Math.abs(j) > reach || Math.abs(k) > reach) return NONE;
        int from = rowStart[row(j, k)];
        int to = rowStart[row(j, k) + 1];
        if (from == to) return NONE;
        int guess = from + i - index[from][0];
        if (guess >= from && guess < to && index[guess][0] == i) return guess;
        // a row may have gaps
        for (int p = from; p < to && index[p][0] <= i; p++) if (index[p][0] == i) return p;
        return NONE;
    }

    /** Number of points in the largest part whose points are such and hang together by faces of the lattice's cells. */
    int largestPart(IntPredicate is) {
        boolean[] seen = new boolean[index.length];
        int largest = 0;
        for (int p = 0; p < index.length; p++)
            if (!seen[p] && is.test(p)) largest = Math.max(largest, flood(p, is, seen));
        return largest;
    }

    private int flood(int start, IntPredicate is, boolean[] seen) {
        ArrayDeque<Integer> open = new ArrayDeque<>();
        open.add(start);
        seen[start] = true;
        int count = 0;
        while (!open.isEmpty()) {
            int[] at = index[open.poll()];
            count++;
            for (int side = 0; side < 6; side++) {
                int step = side % 2 == 0 ? 1 : -1;
                int next = point(
                        at[0] + (side / 2 == 0 ? step : 0),
                        at[1] + (side / 2 == 1 ? step : 0),
                        at[2] + (side / 2 == 2 ? step : 0));
                if (next == NONE || seen[next] || !is.test(next)) continue;
                seen[next] = true;
                open.add(next);
            }
        }
        return count;
    }

    /**
     * Smallest mean over a ball about one of the points, all of whose places are points, and such; none if no ball fits.
     *
     * @param values per point
     */
    OptionalDouble smallestBallMean(double radiusMm, double[] values, IntPredicate is, Workers workers) {
        double[] sum = new double[values.length + 1];
        int[] such = new int[values.length + 1];
        for (int p = 0; p < values.length; p++) {
            sum[p + 1] = sum[p] + values[p];
            such[p + 1] = such[p] + (is.test(p) ? 1 : 0);
        }
        int[][] ball = ball(radiusMm);
        int block = 4096;
        return workers
                .map((values.length + block - 1) / block, b -> {
                    double least = Double.POSITIVE_INFINITY;
                    for (int p = b * block; p < Math.min(values.length, (b + 1) * block); p++)
                        least = Math.min(least, mean(p, ball, sum, such));
                    return least;
                })
                .stream()
                .mapToDouble(Double::doubleValue)
                .filter(Double::isFinite)
                .min();
    }

    // Its rows: y and z from the centre, and how far each reaches along x.
    private int[][] ball(double radiusMm) {
        int n = (int) Math.floor(radiusMm / spacing);
        double square = radiusMm * radiusMm / (spacing * spacing);
        int[][] rows = new int[(2 * n + 1) * (2 * n + 1)][];
        int count = 0;
        for (int k = -n; k <= n; k++)
            for (int j = -n; j <= n; j++)
                if (j * j + k * k <= square)
                    rows[count++] = new int[] {j, k, (int) Math.floor(Math.sqrt(square - j * j - k * k))};
        return Arrays.copyOf(rows, count);
    }

    private double mean(int centre, int[][] ball, double[] sum, int[] such) {
        int[] at = index[centre];
        double total = 0;
        int count = 0;
        for (int[] row : ball) {
            int length = 2 * row[2] + 1;
            int first = point(at[0] - row[2], at[1] + row[0], at[2] + row[1]);
            int end = first + length;
            if (first == NONE || end >= sum.length || such[end] - such[first] != length)
                return Double.POSITIVE_INFINITY;
            if (index[end - 1][0] != at[0] + row[2] || index[end - 1][1] != at[1] + row[0])
                return Double.POSITIVE_INFINITY;
            total += sum[end] - sum[first];
            count += length;
        }
        return total / count;
    }
}
