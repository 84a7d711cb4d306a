// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayDeque;
import java.util.ArrayList;
import java.util.List;
import java.util.OptionalDouble;
import java.util.function.IntPredicate;
import org.leiogauge.task.Workers;

/** The lesion's points by their place on the cubic lattice they lie on: neighbours, and means over balls. */
final class PointLattice {
    private static final int NONE = -1;
    private static final int BLOCK = 4096;
    // the ball's radius in steps of the lattice; more would be slow
    private static final int FINEST = 8;

    private final double spacing;
    private final int reach;
    private final int side;
    private final int[] x;
    private final int[] y;
    private final int[] z;
    private final int[] rowStart;

    PointLattice(Lesion lesion) {
        List<double[]> points = lesion.points();
        spacing = lesion.pointSpacing();
        int count = points.size();
        x = new int[count];
        y = new int[count];
        z = new int[count];
        int far = 0;
        for (int p = 0; p < count; p++) {
            x[p] = whole(points.get(p)[0]);
            y[p] = whole(points.get(p)[1]);
            z[p] = whole(points.get(p)[2]);
            far = Math.max(far, Math.max(Math.abs(y[p]), Math.abs(z[p])));
        }
        reach = far + 1;
        side = 2 * reach + 1;
        rowStart = new int[side * side + 1];
        for (int p = 0; p < count; p++) rowStart[row(y[p], z[p]) + 1]++;
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
        int guess = from + i - x[from];
        if (guess >= from && guess < to && x[guess] == i) return guess;
        // a row may have gaps
        for (int p = from; p < to && x[p] <= i; p++) if (x[p] == i) return p;
        return NONE;
    }

    /** Number of points in the largest part whose points are such and hang together by faces of the lattice's cells. */
    int largestPart(IntPredicate is) {
        boolean[] seen = new boolean[x.length];
        int largest = 0;
        for (int p = 0; p < x.length; p++) if (!seen[p] && is.test(p)) largest = Math.max(largest, flood(p, is, seen));
        return largest;
    }

    private int flood(int start, IntPredicate is, boolean[] seen) {
        ArrayDeque<Integer> open = new ArrayDeque<>();
        open.add(start);
        seen[start] = true;
        int count = 0;
        while (!open.isEmpty()) {
            int at = open.poll();
            count++;
            for (int side = 0; side < 6; side++) {
                int step = side % 2 == 0 ? 1 : -1;
                int next = point(
                        x[at] + (side / 2 == 0 ? step : 0),
                        y[at] + (side / 2 == 1 ? step : 0),
                        z[at] + (side / 2 == 2 ? step : 0));
                if (next == NONE || seen[next] || !is.test(next)) continue;
                seen[next] = true;
                open.add(next);
            }
        }
        return count;
    }

    /**
     * Smallest mean over a ball about one of the points, all of whose places are points, and such; none if no ball fits.
     * Where the lattice is finer than an eighth of the radius, only every so manieth centre and row of the ball is looked at.
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
        int every = Math.max(1, (int) (radiusMm / spacing / FINEST));
        int[][] ball = ball(radiusMm, every);
        return workers
                .map((values.length + BLOCK - 1) / BLOCK, block -> {
                    double least = Double.POSITIVE_INFINITY;
                    for (int p = block * BLOCK; p < Math.min(values.length, (block + 1) * BLOCK); p++)
                        if (isOn(p, every)) least = Math.min(least, mean(p, ball, sum, such));
                    return least;
                })
                .stream()
                .mapToDouble(Double::doubleValue)
                .filter(Double::isFinite)
                .min();
    }

    private boolean isOn(int p, int every) {
        return x[p] % every == 0 && y[p] % every == 0 && z[p] % every == 0;
    }

    // Its rows: y and z from the centre, and how far each reaches along x.
    private int[][] ball(double radiusMm, int every) {
        int n = (int) Math.floor(radiusMm / spacing / every) * every;
        double square = radiusMm * radiusMm / (spacing * spacing);
        List<int[]> rows = new ArrayList<>();
        for (int k = -n; k <= n; k += every)
            for (int j = -n; j <= n; j += every)
                if (j * j + k * k <= square)
                    rows.add(new int[] {j, k, (int) Math.floor(Math.sqrt(square - j * j - k * k))});
        return rows.toArray(int[][]::new);
    }

    private double mean(int centre, int[][] ball, double[] sum, int[] such) {
        double total = 0;
        int count = 0;
        for (int[] row : ball) {
            int length = 2 * row[2] + 1;
            int first = point(x[centre] - row[2], y[centre] + row[0], z[centre] + row[1]);
            int last = first + length - 1;
            if (first == NONE || last >= x.length || such[last + 1] - such[first] != length)
                return Double.POSITIVE_INFINITY;
            // the stretch may run on in another row, or jump a gap
            if (x[last] != x[centre] + row[2] || y[last] != y[centre] + row[0]) return Double.POSITIVE_INFINITY;
            total += sum[last + 1] - sum[first];
            count += length;
        }
        return total / count;
    }
}
