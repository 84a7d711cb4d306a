// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionImages.Masks;

/**
 * The parts of a lesion whose shares are measured, as masks inside the lesion, each on the grid of its own image in the
 * outline's patient space; a part that cannot be told is absent.
 *
 * @param nonEnhancing as {@link org.leiogauge.signal.Enhancement} tells it from noise
 * @param t1Bright as {@link T1Blood#brightPart}
 * @param t2Bright as {@link T2Signal#brightPart}
 * @param restricted voxels with an ADC under the settings' cut-off
 */
public record LesionParts(
        Optional<Mask> nonEnhancing, Optional<Mask> t1Bright, Optional<Mask> t2Bright, Optional<Mask> restricted) {

    public static LesionParts of(LesionImages images, Masks masks, LesionMeasurement.Settings settings) {
        return new LesionParts(
                images.contrast().flatMap(c -> masks.contrast()
                        .map(lesion -> within(c.images().maps().nonEnhancing(), lesion))),
                images.t1().flatMap(t1 -> masks.t1()
                        .flatMap(lesion -> T1Blood.brightPart(t1.image(), lesion, t1.references(), settings.t1()))),
                images.t2().flatMap(t2 -> masks.t2()
                        .flatMap(lesion -> T2Signal.brightPart(t2.image(), lesion, t2.references(), settings.t2()))),
                images.diffusion().flatMap(d -> masks.diffusion()
                        .map(lesion ->
                                below(d.adc(), lesion, settings.diffusion().restricted()))));
    }

    private static Mask within(Mask part, Mask lesion) {
        byte[] both = part.voxels().clone();
        for (int i = 0; i < both.length; i++) both[i] &= lesion.voxels()[i];
        return new Mask(lesion.grid(), both);
    }

    private static Mask below(Volume adc, Mask lesion, double cutOff) {
        byte[] part = lesion.voxels().clone();
        // no value is not a low one
        for (int i = 0; i < part.length; i++) if (!(adc.voxels()[i] < cutOff)) part[i] = 0;
        return new Mask(lesion.grid(), part);
    }
}
