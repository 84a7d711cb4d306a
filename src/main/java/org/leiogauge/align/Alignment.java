// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Where two series of one patient show the same place, around one lesion.
 *
 * <p>Patient coordinates come first; then the movement between the series that maximises the mutual information of both
 * images in the lesion's box and a margin, from coarse to fine. The patient coordinates stand, and the result says why,
 * when the moving image covers too little of the box, when the movement found is larger than patients move on the table,
 * when another movement explains the images as well, when the uncertainty is above a limit, or when the gain is within
 * its own scatter.
 *
 * <p>Residual: the uncertainty of the correspondence, as root mean square over the lesion, in mm. Parameters' covariance
 * H⁻¹ (Σ g gᵀ) H⁻¹, with H the curvature and g the gradients of 64 blocks of the region: blocks that pull in different
 * directions, through noise or through a movement that isn't this one's kind, widen it. With it goes how far the last
 * refinement, to twice the fineness, still moved the lesion, which shows the pull of shading and thick slices. Where the
 * patient coordinates stand though a movement was found, the residual holds that movement too. Not measured where the
 * images contradict a movement of this kind.
 *
 * <p>Same input and settings, same result, for any number of threads. Cost: samples × steps; about 40 steps in all.
 *
 * <p>Source: Mattes et al. 2003, doi:10.1109/TMI.2003.809072; sandwich covariance with blocks: White 1982,
 * doi:10.2307/1912526; limits: common practice, no source.
 */
public final class Alignment {
    /** Share of the neighbourhood that the moving image must cover. */
    static final double SMALLEST_OVERLAP = 0.5;

    private Alignment() {}

    /** What may have come between the two series. */
    public sealed interface Model {
        /** The patient moved. */
        record Rigid() implements Model {}

        /**
         * The patient moved, and the moving series is echo-planar.
         *
         * @param phaseEncoding direction in patient space along which it displaces
         */
        record EchoPlanar(Vector phaseEncoding) implements Model {}
    }

    /**
     * @param marginMm how far around the lesion the images are looked at
     * @param largestShiftMm of the lesion's centre; more is not believed; up to 100
     * @param largestTurnDegrees more is not believed
     * @param largestResidualMm more is not believed
     * @param samples at the finest level
     * @param bins of the histogram along each axis, 8 to 100
     * @param gainDeviations by how many standard deviations the similarity must rise
     */
    public record Settings(
            Model model,
            double marginMm,
            double largestShiftMm,
            double largestTurnDegrees,
            double largestResidualMm,
            int samples,
            int bins,
            double gainDeviations,
            long seed) {
        public Settings {
            if (!(marginMm >= 0 && marginMm < 1000))
                throw new IllegalArgumentException("marginMm must be 0 to 1000, got " + marginMm);
            if (!(largestShiftMm > 0 && largestTurnDegrees > 0 && largestResidualMm > 0 && gainDeviations >= 0))
                throw new IllegalArgumentException("limits must be > 0, got " + largestShiftMm + ", "
                        + largestTurnDegrees + ", " + largestResidualMm + ", " + gainDeviations);
            if (!(largestShiftMm <= 100))
                throw new IllegalArgumentException("largestShiftMm must be 100 mm or less, got " + largestShiftMm);
            if (samples < 1000 || samples > 10_000_000)
                throw new IllegalArgumentException("samples must be 1000 to 10 million, got " + samples);
            if (bins < 8 || bins > 100) throw new IllegalArgumentException("bins must be 8 to 100, got " + bins);
        }

        public static Settings standard(Model model) {
            return new Settings(model, 25, 25, 15, 2, 60_000, 32, 3, 1);
        }
    }

    /** How it ended. */
    public enum Outcome {
        /** The movement found is the correspondence. */
        IMPROVED,
        /** The moving image shows too little of the neighbourhood; patient coordinates stand, as below. */
        LITTLE_OVERLAP,
        /** The movement found is larger than the limits. */
        IMPLAUSIBLE,
        /** Another movement explains the images as well. */
        AMBIGUOUS,
        /** The residual is above its limit. */
        UNCERTAIN,
        /** The images agree no better than by patient coordinates: already in place, or nothing to tell by. */
        NO_GAIN;

        public boolean isImproved() {
            return this == IMPROVED;
        }
    }

    /**
     * @param correspondence from the fixed series to the moving one: the one found, or the patient coordinates
     * @param decision one sentence for the report
     * @param residualMm root mean square over the lesion, in mm
     * @param found what the images favour, believed or not
     * @param before mutual information of the patient coordinates, in nat
     * @param after mutual information of what was found, in nat
     */
    public record Result(
            Correspondence correspondence,
            Outcome outcome,
            String decision,
            Measurement residualMm,
            Correspondence found,
            double before,
            double after) {}

    /**
     * @param lesion on the fixed image's grid, not empty
     * @throws IllegalArgumentException if the lesion is empty or on a grid of another size
     */
    public static Result align(
            Volume fixed, Volume moving, Mask lesion, Settings settings, Workers workers, Progress progress) {
        if (!lesion.grid().size().equals(fixed.grid().size()))
            throw new IllegalArgumentException("lesion must have the fixed image's size "
                    + fixed.grid().size() + ", got " + lesion.grid().size());
        Box inner = lesion.boundingBox().orElseThrow(() -> new IllegalArgumentException("lesion must not be empty"));
        Neighbourhood near = new Neighbourhood(lesion, inner, settings.marginMm());
        if (near.share(moving.grid()) < SMALLEST_OVERLAP)
            return Judgement.nothingToSee(Correspondence.identity(near.centre()));
        return new Judgement(near, settings, new Search(near, settings, workers).run(fixed, moving, progress)).result();
    }
}
