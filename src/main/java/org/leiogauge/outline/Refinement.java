package org.leiogauge.outline;

import org.leiogauge.task.Workers;

/** One way to find the border near a rough one. */
interface Refinement {
    /** As reports call it. */
    String title();

    /** Probability, per open voxel of the band, that it belongs to the region. */
    float[] inside(Band band, Workers workers);
}
