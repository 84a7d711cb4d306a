// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Arrays;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.NotMeasured;

/**
 * The mean of a signal over the signed distance to a border, and the distance over which it makes its step.
 *
 * <p>Levels: means of the quarter of the voxels that lies deepest inside and of that farthest outside, within 12 mm. Width: from
 * where the profile last is at 10 % of the step between them to where it then first is at 90 %, linear between the bins'
 * means. Not measured with fewer than 20 voxels on a side or without a step.
 *
 * <p>Source: common practice, no source.
 */
final class StepProfile {
    private static final double REACH_MM = 12;
    private static final int FEWEST = 20;

    private final double binMm;
    private final double[] sums;
    private final double[] distances;
    private final int[] counts;

    StepProfile(double binMm) {
        this.binMm = binMm;
        int bins = 2 * (int) Math.ceil(REACH_MM / binMm);
        this.sums = new double[bins];
        this.distances = new double[bins];
        this.counts = new int[bins];
    }

    /** @param distanceMm negative inside */
    void add(double distanceMm, double signal) {
        int bin = (int) Math.floor(distanceMm / binMm) + counts.length / 2;
        // What lies deeper than the reach still is inside.
        if (bin < 0) bin = 0;
        if (bin >= counts.length) return;
        sums[bin] += signal;
        distances[bin] += distanceMm;
        counts[bin]++;
    }

    Measurement width() {
        int middle = counts.length / 2;
        int inside = Arrays.stream(counts, 0, middle).sum();
        int outside = Arrays.stream(counts, middle, counts.length).sum();
        if (inside < FEWEST || outside < FEWEST)
            return new NotMeasured(
                    "only " + Math.min(inside, outside) + " voxels on one side of the border, " + FEWEST + " needed");
        double low = level(inside / 4, 0, 1);
        double step = level(outside / 4, counts.length - 1, -1) - low;
        if (!(step > 0)) return new NotMeasured("the signal does not rise across the border");
        int last = counts.length - 1;
        double start = Double.NaN;
        double at = Double.NaN;
        double before = Double.NaN;
        for (int bin = 0; bin <= last; bin++) {
            if (counts[bin] == 0) continue;
            double here = distances[bin] / counts[bin];
            double share = (sums[bin] / counts[bin] - low) / step;
            if (before <= 0.1 && share > 0.1) start = at + (0.1 - before) / (share - before) * (here - at);
            if (before < 0.9 && share >= 0.9 && !Double.isNaN(start))
                return Measurement.of(at + (0.9 - before) / (share - before) * (here - at) - start, "no step");
            at = here;
            before = share;
        }
        return new NotMeasured("the signal does not make a step across the border");
    }

    // The mean of so many voxels or a few more, whole bins, from one end.
    private double level(int wanted, int from, int direction) {
        double sum = 0;
        int n = 0;
        for (int bin = from; n < Math.max(1, wanted); bin += direction) {
            sum += sums[bin];
            n += counts[bin];
        }
        return sum / n;
    }
}
