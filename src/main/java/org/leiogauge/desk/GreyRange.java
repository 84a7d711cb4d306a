// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Arrays;
import org.leiogauge.image.Volume;

/** Which values are shown from black to white; {@code high} above {@code low}. */
record GreyRange(double low, double high) {
    private static final int MOST_SAMPLES = 200_000;

    GreyRange {
        if (!(high > low)) throw new IllegalArgumentException("high must be above low, got " + low + " to " + high);
    }

    /** From the first to the 99.5th percentile of what has a value; 0 to 1 where nothing has. */
    static GreyRange of(Volume volume) {
        float[] voxels = volume.voxels();
        int step = Math.max(1, voxels.length / MOST_SAMPLES);
        float[] some = new float[voxels.length / step + 1];
        int n = 0;
        for (int i = 0; i < voxels.length; i += step) if (Float.isFinite(voxels[i])) some[n++] = voxels[i];
        if (n == 0) return new GreyRange(0, 1);
        Arrays.sort(some, 0, n);
        double low = some[n / 100];
        double high = some[(int) (0.995 * (n - 1))];
        return high > low ? new GreyRange(low, high) : new GreyRange(low - 0.5, low + 0.5);
    }

    /** Wider or narrower about the same middle. */
    GreyRange wider(double factor) {
        double half = Math.max((high - low) / 2 * factor, 1e-6 * Math.max(1, Math.abs(high)));
        double middle = (high + low) / 2;
        return new GreyRange(middle - half, middle + half);
    }

    /** Moved by a share of its width. */
    GreyRange moved(double share) {
        double by = share * (high - low);
        return new GreyRange(low + by, high + by);
    }
}
