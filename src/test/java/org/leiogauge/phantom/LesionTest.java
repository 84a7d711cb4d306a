// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class LesionTest {
    @Test
    void compartmentsHaveTheirFractionsOfTheVolume() {
        LesionSettings settings = Preset.SARCOMA.settings().lesions().get(0);
        Lesion lesion = new Lesion(settings, new Seed(5), 1000, Workers.SINGLE);
        SplittableRandom random = new SplittableRandom(11);
        double[] look = new double[2];
        int inside = 0;
        int necrotic = 0;
        int haemorrhagic = 0;
        double reach = lesion.reach();
        int tries = 1_000_000;
        for (int i = 0; i < tries; i++) {
            double x = reach * (2 * random.nextDouble() - 1);
            double y = reach * (2 * random.nextDouble() - 1);
            double z = reach * (2 * random.nextDouble() - 1);
            if (lesion.depth(x, y, z, look) < 0) continue;
            inside++;
            int tissue = lesion.tissueAt(x, y, z, look);
            if (tissue == Tissue.NECROTIC.ordinal()) necrotic++;
            if (tissue == Tissue.HAEMORRHAGE.ordinal()) haemorrhagic++;
        }
        // Oracle: Monte Carlo with points of its own; 4 standard errors of about 200 000 hits.
        assertThat(necrotic / (double) inside).isCloseTo(0.28, within(0.005));
        assertThat(haemorrhagic / (double) inside).isCloseTo(0.10, within(0.004));
        double volume = Math.pow(2 * reach, 3) * inside / tries;
        assertThat(volume / lesion.truth().volume()).isCloseTo(1, within(0.01));
    }
}
