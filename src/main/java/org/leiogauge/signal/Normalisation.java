// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion;

/**
 * An image in units of a reference tissue's signal, so that scanners and receiver gains no longer matter.
 *
 * <p>r = S / S_ref, with S_ref the median over the reference region. No unit. NaN where the image is.
 *
 * <p>Source: common practice, no source.
 */
public final class Normalisation {
    private Normalisation() {}

    public static Volume by(Volume image, ReferenceRegion.Accepted reference) {
        float[] ratio = new float[image.voxels().length];
        double scale = 1 / reference.median();
        for (int i = 0; i < ratio.length; i++) ratio[i] = (float) (image.voxels()[i] * scale);
        return new Volume(image.grid(), ratio);
    }
}
