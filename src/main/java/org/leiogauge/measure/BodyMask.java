// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.Arrays;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/**
 * Where a body is in an image: voxels above a tenth of the 99th percentile of its signal.
 *
 * <p>Source: common practice, no source. Good enough for a bias field, whose fit leaves edges and air out by itself.
 */
final class BodyMask {
    private static final double SHARE = 0.1;
    private static final int MOST_SAMPLES = 100_000;

    private BodyMask() {}

    static Mask of(Volume image) {
        float[] v = image.voxels();
        int step = Math.max(1, v.length / MOST_SAMPLES);
        float[] some = new float[(v.length + step - 1) / step];
        for (int i = 0; i < some.length; i++) some[i] = Float.isNaN(v[i * step]) ? 0 : v[i * step];
        Arrays.sort(some);
        double limit = SHARE * some[(int) (0.99 * (some.length - 1))];
        byte[] body = new byte[v.length];
        for (int i = 0; i < v.length; i++) if (v[i] > limit) body[i] = 1;
        return new Mask(image.grid(), body);
    }
}
