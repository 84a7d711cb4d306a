// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionDiffusion.HighestB;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;

/** The images of one lesion by what they show, each on its own grid in the outline's patient space; what is absent is empty. */
public record LesionImages(
        Optional<T2> t2, Optional<T1> t1, Optional<Contrast> contrast, Optional<Diffusion> diffusion) {

    /**
     * @param image without bias field
     * @param references measured on it
     */
    public record T2(Volume image, Map<Tissue, Reference> references) {
        public T2 {
            references = Map.copyOf(references);
        }
    }

    /**
     * @param image without bias field
     * @param t2 the T2-weighted image on the same grid
     */
    public record T1(Volume image, boolean fatSuppressed, Optional<Volume> t2, Map<Tissue, Reference> references) {
        public T1 {
            references = Map.copyOf(references);
        }
    }

    /** @param noise standard deviation of the noise of one image, in its unit */
    public record Contrast(LesionEnhancement.Images images, double noise) {}

    /**
     * @param adc in 10⁻³ mm²/s, NaN where there is none
     * @param noise standard deviation that noise gives it, voxel by voxel; empty where not known
     */
    public record Diffusion(Volume adc, Optional<Volume> noise, Optional<HighestB> highest) {}

    /**
     * The lesion on each of these grids.
     *
     * @param outline on the grid that it was drawn on
     */
    public record Masks(
            Mask outline, Optional<Mask> t2, Optional<Mask> t1, Optional<Mask> contrast, Optional<Mask> diffusion) {}
}
