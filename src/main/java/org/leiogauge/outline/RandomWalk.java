// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The border as a random walker with local priors sees it: it holds on to edges of the joint feature space and to what
 * is usual nearby inside and outside, whatever that is, so that several tissues on one side do no harm.
 *
 * <p>Minimises Σ w(i,j) (pᵢ - pⱼ)² + γ Σ (pᵢ - sᵢ)² over the open voxels, w = (h₀ / h)² exp(-β |Δ|² / mean |Δ|²) over faces,
 * Δ the step of all channels, h the neighbours' distance and h₀ the least spacing; s is the probability that distance to
 * the drawn line and local class shares give together. Shares and probabilities are renewed in turns.
 *
 * <p>Source: Grady 2005, Multilabel random walker image segmentation using prior models, doi:10.1109/CVPR.2005.239.
 */
record RandomWalk(Settings settings) implements Refinement {
    /**
     * @param beta how much an edge hinders
     * @param trust γ, weight of the single voxel's own probability
     * @param classes number of tissue classes that are counted
     * @param windowMm standard deviation of the window that is called local
     * @param contextMm how far from the drawn line voxels still tell of their side
     * @param drawnMm standard deviation of the drawn line
     * @param sure largest log odds that the drawn line gives
     * @param limit largest log odds that the images give
     * @param doubt separation at which the images' word counts half
     * @param rounds how often shares are renewed
     */
    record Settings(
            double beta,
            double trust,
            int classes,
            double windowMm,
            double contextMm,
            double drawnMm,
            double sure,
            double limit,
            double doubt,
            int rounds) {
        static Settings standard() {
            return new Settings(1, 0.05, 24, 12, 8, 3, 3, 4, 0.05, 6);
        }
    }

    @Override
    public String title() {
        return "random walk";
    }

    @Override
    public Found inside(Band band, Workers workers, Progress progress) {
        FeatureClasses classes = FeatureClasses.of(band, settings.classes(), settings.contextMm(), workers);
        WalkSystem system = WalkSystem.of(band, settings.beta(), (float) settings.trust(), workers);
        float[] prior = Refinement.prior(band, settings.drawnMm(), settings.sure());
        float[] p = Refinement.sigmoids(prior);
        double separation = 0;
        for (int round = 0; round < settings.rounds(); round++) {
            progress.at((double) round / settings.rounds());
            FeatureClasses.Evidence evidence = classes.evidence(
                    band.whole(p), settings.windowMm(), settings.contextMm(), settings.doubt(), workers);
            separation = evidence.separation();
            float[] own = new float[p.length];
            for (int j = 0; j < own.length; j++)
                own[j] = Refinement.sigmoid(
                        prior[j] + Refinement.within((float) settings.limit(), evidence.logRatio()[j]));
            p = system.solve(own, p, workers);
        }
        return new Found(p, separation, 1);
    }
}
