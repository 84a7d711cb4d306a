// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** One way to find a border near a rough one. */
sealed interface Refinement permits RandomWalk, ActiveSurface {
    /** Odds of 1.7 / σ per mm are those of a normally distributed error of standard deviation σ, near its middle. */
    double ODDS_PER_SIGMA = 1.7;

    /** As reports call it. */
    String title();

    /** What a method finds. */
    Found inside(Band band, Workers workers, Progress progress);

    /**
     * What a method finds.
     *
     * @param probability per open voxel of the band that it belongs to the region
     * @param separation how far apart both sides of the border look, from 0 for alike to 1
     * @param weight how much the method is to be believed here; a random walk's is 1
     */
    record Found(float[] probability, double separation, double weight) {}

    /**
     * Log odds that a voxel belongs to the region, from its distance to the drawn line alone: linear near the line,
     * bounded far from it, since readers stray farther than a normal error allows.
     */
    static float[] prior(Band band, double drawnMm, double sure) {
        float[] prior = new float[band.open.length];
        for (int j = 0; j < prior.length; j++)
            prior[j] = (float) (-sure * Math.tanh(ODDS_PER_SIGMA * band.distance[band.open[j]] / (drawnMm * sure)));
        return prior;
    }

    static float[] sigmoids(float[] odds) {
        float[] p = new float[odds.length];
        for (int j = 0; j < p.length; j++) p[j] = sigmoid(odds[j]);
        return p;
    }

    static float sigmoid(double odds) {
        return (float) (1 / (1 + Math.exp(-odds)));
    }

    static float within(float limit, float value) {
        return Math.max(-limit, Math.min(limit, value));
    }
}
