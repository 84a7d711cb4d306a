// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.SubRegions.Channel;
import org.leiogauge.outline.SubRegions.Kind;
import org.leiogauge.outline.SubRegions.Seen;
import org.leiogauge.outline.SubRegions.Settings;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class SubRegionsTest {
    private static final Grid GRID = Solids.grid(60, 60, 14, 0.75, 0.75, 4);
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(22, 22, 26, 20));
    private static final Mask CYST = Solids.mask(GRID, Solids.ball(16, 22, 26, 7));
    private static final Mask BLOOD = Solids.mask(GRID, Solids.ball(30, 24, 26, 6));
    private static final Mask DEAD = Solids.mask(GRID, Solids.ball(22, 34, 26, 6));

    @Test
    void aKnownMixtureIsFoundAgain() {
        // Oracle: the mixture that the samples are drawn from; 12 000 of them leave standard errors below 0.03.
        SplittableRandom random = new SplittableRandom(3);
        float[][] samples = new float[12_000][];
        for (int i = 0; i < samples.length; i++) {
            int k = i % 6 < 3 ? 0 : i % 6 < 5 ? 1 : 2;
            samples[i] = new float[] {
                (float) (new double[] {0, 4, 4}[k] + new double[] {1, 0.5, 0.7}[k] * Solids.normal(random)),
                (float) (new double[] {0, 1, 6}[k] + new double[] {0.8, 1, 0.5}[k] * Solids.normal(random))
            };
        }
        TissueMixture mixture = TissueMixture.fit(samples, 5, 1, Workers.SINGLE, Progress.NONE);
        assertThat(mixture.classes()).isEqualTo(3);
        double[][] expected = {{0.5, 0, 0, 1, 0.8}, {1 / 3.0, 4, 1, 0.5, 1}, {1 / 6.0, 4, 6, 0.7, 0.5}};
        for (double[] e : expected) {
            int j = 0;
            while (Math.hypot(mixture.means[j][0] - e[1], mixture.means[j][1] - e[2]) > 0.5) j++;
            assertThat(mixture.weights[j]).isCloseTo(e[0], within(0.02));
            assertThat(mixture.means[j]).containsExactly(new double[] {e[1], e[2]}, within(0.06));
            assertThat(Math.sqrt(mixture.variances[j][0])).isCloseTo(e[3], within(0.05));
            assertThat(Math.sqrt(mixture.variances[j][1])).isCloseTo(e[4], within(0.05));
        }
    }

    @Test
    void partsOfAComputedLesionHaveTheirVolumes() {
        // Oracle: the solids that the images were computed from; the issue asks for 5 % or 1 mL.
        SubRegions.Parts parts = find(images(), Workers.SINGLE);
        assertVolume(parts, Kind.CYSTIC, CYST);
        assertVolume(parts, Kind.HAEMORRHAGIC, BLOOD);
        assertVolume(parts, Kind.NON_ENHANCING, DEAD);
        assertThat(parts.parts().stream().mapToDouble(SubRegions.Part::volume).sum())
                .isCloseTo(LESION.volume(), within(1e-6));
        assertThat(parts.of(Kind.RESTRICTED)).isPresent();
        assertThat(parts.of(Kind.RESTRICTED).orElseThrow().confidence()).isGreaterThan(0.9);
        assertThat(parts.decisions()).anyMatch(text -> text.contains("cystic"));
    }

    @Test
    void withoutContrastNothingIsCalledNonEnhancing() {
        SubRegions.Parts parts = find(List.of(images().get(0)), Workers.SINGLE);
        assertThat(parts.of(Kind.NON_ENHANCING)).isEmpty();
        assertThat(parts.of(Kind.CYSTIC)).isPresent();
    }

    @Test
    void oneTissueIsOnePart() {
        Volume plain = Solids.noise(GRID, 400, 20, 5);
        SubRegions.Parts parts = find(List.of(new Seen(Channel.T2, plain, 400)), Workers.SINGLE);
        assertThat(parts.parts()).hasSize(1);
        assertThat(parts.parts().get(0).kind()).isEqualTo(Kind.VIABLE);
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        SubRegions.Parts one = find(images(), Workers.SINGLE);
        try (Workers workers = Workers.of(3)) {
            SubRegions.Parts three = find(images(), workers);
            for (int i = 0; i < one.parts().size(); i++) {
                assertThat(three.parts().get(i).mask().voxels())
                        .isEqualTo(one.parts().get(i).mask().voxels());
                assertThat(three.parts().get(i).confidence())
                        .isEqualTo(one.parts().get(i).confidence());
            }
        }
    }

    @Test
    void voxelsWithoutAValueBelongToNoPart() {
        float[] none = new float[GRID.size().voxels()];
        Arrays.fill(none, Float.NaN);
        SubRegions.Parts parts = find(List.of(new Seen(Channel.T2, new Volume(GRID, none), 1)), Workers.SINGLE);
        assertThat(parts.parts()).isEmpty();
        assertThatThrownBy(() -> find(List.of(), Workers.SINGLE)).hasMessageContaining("images must hold one");
    }

    private static void assertVolume(SubRegions.Parts parts, Kind kind, Mask truth) {
        double allowed = Math.max(0.05 * truth.volume(), 1000);
        assertThat(parts.of(kind).orElseThrow().volume()).isCloseTo(truth.volume(), within(allowed));
        // beyond volume: the place
        assertThat(OutlineAgreement.between(parts.of(kind).orElseThrow().mask(), truth, Workers.SINGLE)
                        .dice()
                        .number()
                        .orElseThrow())
                .isGreaterThan(0.9);
    }

    private static SubRegions.Parts find(List<Seen> images, Workers workers) {
        return SubRegions.find(images, LESION, Settings.standard(), workers, Progress.NONE);
    }

    private static List<Seen> images() {
        return List.of(
                new Seen(Channel.T2, image(400, 1600, 500, 900 * 0.7, 20, 1), 500),
                new Seen(Channel.T1, image(300, 200, 600, 280, 15, 2), 300),
                new Seen(Channel.ENHANCEMENT, image(0.9, 0, 0.02, 0.03, 0.08, 3), 1),
                new Seen(Channel.ADC, image(0.8, 2.6, 0.9, 1.5, 0.08, 4), 1));
    }

    private static Volume image(double viable, double cyst, double blood, double dead, double noise, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            double v = CYST.voxels()[i] != 0
                    ? cyst
                    : BLOOD.voxels()[i] != 0 ? blood : DEAD.voxels()[i] != 0 ? dead : viable;
            voxels[i] = (float) (v + noise * Solids.normal(random));
        }
        return new Volume(GRID, voxels);
    }
}
