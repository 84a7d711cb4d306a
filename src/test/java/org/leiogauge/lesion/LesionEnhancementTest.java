// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;
import static org.leiogauge.lesion.Values.number;
import static org.leiogauge.lesion.Values.reason;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionEnhancement.Images;
import org.leiogauge.lesion.LesionEnhancement.Reading;
import org.leiogauge.lesion.LesionEnhancement.Settings;
import org.leiogauge.outline.ReferenceRegion;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.Workers;

class LesionEnhancementTest {
    private static final Grid GRID = Solids.grid(48, 48, 20, 1, 1, 2);
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(23.5, 23.5, 19, 16));
    private static final double S0 = 300;

    @Test
    void theSpoiledGradientEchoOfPublishedDosesGivesItsRelativeEnhancement() {
        // Oracle: evidence.md 8.2: TR 4 ms, 12°, T1 1514 ms, r1 4.5: 129 % at 0.25 mM, 223 % at 0.5, 352 % at 1.0.
        double[] doses = {0.25, 0.5, 1.0};
        double[] percent = {129, 223, 352};
        List<Phase> phases = new ArrayList<>();
        for (int p = 0; p < 3; p++) phases.add(new Phase(30 * (p + 1), flat(spoiled(doses[p]))));
        List<LesionValue> values = measure(flat(spoiled(0)), phases, 0.001, Map.of());
        for (int p = 0; p < 3; p++)
            assertThat(number(values, LesionDefinitions.RELATIVE_ENHANCEMENT, 30 * (p + 1) + " s"))
                    .isCloseTo(percent[p], within(0.5));
    }

    @Test
    void theMeanCurveIsDescribedAsCalculatedByHand() {
        // Oracle: by hand. E = 30, 100, 70 % at 30, 90, 180 s; myometrium 200 -> 300 at 30 s, 50 %.
        List<LesionValue> values = measure(
                flat(S0),
                List.of(new Phase(30, flat(1.3 * S0)), new Phase(90, flat(2 * S0)), new Phase(180, flat(1.7 * S0))),
                1,
                Map.of(Tissue.MYOMETRIUM, new Accepted(200, 1, 100)),
                Map.of(Tissue.MYOMETRIUM, new Accepted(300, 1, 100)));
        assertThat(number(values, LesionDefinitions.EARLY_RATIO)).isCloseTo(0.6, within(1e-6));
        assertThat(number(values, LesionDefinitions.TIME_TO_PEAK)).isEqualTo(90);
        assertThat(number(values, LesionDefinitions.WASH_IN)).isCloseTo(70 / 60.0, within(1e-6));
        assertThat(number(values, LesionDefinitions.WASH_OUT)).isCloseTo(-30 / 90.0, within(1e-6));
        // 1.7 after 2.0: a fall by 15 %.
        assertThat(number(values, LesionDefinitions.WASH_OUT_SHARE)).isEqualTo(1);
        assertThat(number(values, LesionDefinitions.PERSISTENT_SHARE)).isZero();
        assertThat(number(values, LesionDefinitions.ENHANCEMENT_HETEROGENEITY)).isCloseTo(0, within(1e-3));
        assertThat(number(values, LesionDefinitions.NON_ENHANCING_FRACTION)).isZero();
        assertThat(number(values, LesionDefinitions.NON_ENHANCING_POCKET)).isZero();
        assertThat(reason(values, LesionDefinitions.POCKET_CENTRALITY)).contains("nothing");
    }

    @Test
    void curveShapesAreCountedVoxelByVoxel() {
        float[] early = flat(2 * S0).voxels();
        float[] late = new float[early.length];
        // Oracle: by construction, thirds by the place in the row: up 20 %, up 5 %, down 20 %.
        for (int i = 0; i < late.length; i++) late[i] = early[i] * (i % 3 == 0 ? 1.2f : i % 3 == 1 ? 1.05f : 0.8f);
        List<LesionValue> values = measure(
                flat(S0),
                List.of(new Phase(60, new Volume(GRID, early)), new Phase(180, new Volume(GRID, late))),
                1,
                Map.of());
        for (var shape : List.of(
                LesionDefinitions.PERSISTENT_SHARE, LesionDefinitions.PLATEAU_SHARE, LesionDefinitions.WASH_OUT_SHARE))
            assertThat(number(values, shape)).isCloseTo(1 / 3.0, within(0.005));
    }

    @Test
    void aCentralPocketIsFoundWithItsVolumePlaceAndBorder() {
        List<LesionValue> values = pocket(23.5, 7, 0);
        double truth = 4.0 / 3 * Math.PI * 343;
        // Oracle: the ball that was put in, 4/3 π r³, and its share of the lesion's voxels.
        assertThat(number(values, LesionDefinitions.NON_ENHANCING_POCKET)).isCloseTo(truth, within(0.05 * truth));
        assertThat(number(values, LesionDefinitions.NON_ENHANCING_FRACTION))
                .isCloseTo(truth / LESION.volume(), within(0.01));
        // Oracle: two concentric balls, depth 16 - r: mean over r < 7 of 1 - (r / 16)³ is 1 - 0.5 (7 / 16)³.
        assertThat(number(values, LesionDefinitions.POCKET_CENTRALITY)).isCloseTo(0.958, within(0.015));
        // One voxel and its sampling: sharp.
        assertThat(number(values, LesionDefinitions.POCKET_BORDER)).isLessThan(2);
    }

    @Test
    void aPeripheralPocketHasALowCentrality() {
        assertThat(number(pocket(38, 4, 0), LesionDefinitions.POCKET_CENTRALITY))
                .isLessThan(0.4);
    }

    @Test
    void anIllDefinedBorderIsAsWideAsItWasMade() {
        for (double width : new double[] {3, 5, 7})
            // Oracle: a linear ramp of this width w goes from 10 to 90 % over 0.8 w; ± half a voxel.
            assertThat(number(pocket(23.5, 8, width), LesionDefinitions.POCKET_BORDER))
                    .as("ramp of " + width + " mm")
                    .isCloseTo(0.8 * width, within(0.7));
    }

    @Test
    void noiseIsTakenOffTheHeterogeneity() {
        SplittableRandom random = new SplittableRandom(5);
        float[] late = new float[GRID.size().voxels()];
        double sd = 0.2;
        for (int i = 0; i < late.length; i++)
            late[i] = (float) (S0 * (2 + sd * Solids.normal(random)) + 15 * Solids.normal(random));
        List<LesionValue> values =
                measure(Solids.noise(GRID, S0, 15, 7), List.of(new Phase(120, new Volume(GRID, late))), 15, Map.of());
        // Oracle: by construction, E = 100 ± 20 %.
        assertThat(number(values, LesionDefinitions.ENHANCEMENT_HETEROGENEITY)).isCloseTo(sd, within(0.01));
    }

    @Test
    void onePhaseGivesNoTimeCourse() {
        List<LesionValue> values = measure(flat(S0), List.of(new Phase(45, flat(2 * S0))), 1, Map.of());
        assertThat(reason(values, LesionDefinitions.TIME_TO_PEAK)).contains("one phase");
        assertThat(reason(values, LesionDefinitions.WASH_OUT)).contains("one phase");
        assertThat(reason(values, LesionDefinitions.PLATEAU_SHARE)).contains("no phase after 120 s");
        assertThat(Values.find(values, LesionDefinitions.NON_ENHANCING_FRACTION, "")
                        .caution())
                .contains("slow tissue");
        assertThat(number(values, LesionDefinitions.RELATIVE_ENHANCEMENT, "45 s"))
                .isCloseTo(100, within(1e-4));
    }

    @Test
    void whatIsMissingForTheEarlyRatioIsNamed() {
        List<Phase> late = List.of(new Phase(90, flat(2 * S0)));
        assertThat(reason(measure(flat(S0), late, 1, Map.of()), LesionDefinitions.EARLY_RATIO))
                .isEqualTo("no phase up to 60 s, the first is at 90 s");
        List<Phase> early = List.of(new Phase(60, flat(2 * S0)));
        assertThat(reason(measure(flat(S0), early, 1, Map.of()), LesionDefinitions.EARLY_RATIO))
                .isEqualTo("no reference region for myometrium");
        assertThat(reason(
                        measure(
                                flat(S0),
                                early,
                                1,
                                Map.of(Tissue.MYOMETRIUM, new ReferenceRegion.Refused("too noisy"))),
                        LesionDefinitions.EARLY_RATIO))
                .isEqualTo("reference region for myometrium: too noisy");
    }

    @Test
    void phasesOutOfOrderAreRefused() {
        Phase phase = new Phase(60, flat(2 * S0));
        Enhancement.Maps maps = Enhancement.measure(
                flat(S0), List.of(phase), LESION, 1, Enhancement.Settings.standard(), Workers.SINGLE);
        Reading reading = new Reading(phase, Map.of());
        assertThatThrownBy(() -> new Images(flat(S0), Map.of(), List.of(reading, reading), maps))
                .hasMessageContaining("in the order of time");
    }

    // A ball without enhancement in a lesion that doubles; a ramp of this width about its surface, 0 for none.
    private static List<LesionValue> pocket(double x, double radius, double ramp) {
        float[] late = Solids.noise(GRID, S0, 10, 3).voxels().clone();
        for (int k = 0; k < 20; k++)
            for (int j = 0; j < 48; j++)
                for (int i = 0; i < 48; i++) {
                    double d = Math.sqrt((i - x) * (i - x) + (j - 23.5) * (j - 23.5) + (2 * k - 19) * (2 * k - 19))
                            - radius;
                    double share = ramp == 0 ? (d > 0 ? 1 : 0) : Math.max(0, Math.min(1, d / ramp + 0.5));
                    late[GRID.offset(i, j, k)] += (float) (S0 * share);
                }
        return measure(Solids.noise(GRID, S0, 10, 4), List.of(new Phase(120, new Volume(GRID, late))), 10, Map.of());
    }

    private static double spoiled(double mM) {
        double r1 = 1 / 1.514 + 4.5 * mM;
        double e1 = Math.exp(-0.004 * r1);
        return 1e4 * Math.sin(Math.toRadians(12)) * (1 - e1) / (1 - Math.cos(Math.toRadians(12)) * e1);
    }

    private static Volume flat(double signal) {
        float[] v = new float[GRID.size().voxels()];
        java.util.Arrays.fill(v, (float) signal);
        return new Volume(GRID, v);
    }

    private static List<LesionValue> measure(
            Volume pre, List<Phase> phases, double noise, Map<Tissue, Reference> references) {
        return measure(pre, phases, noise, references, references);
    }

    private static List<LesionValue> measure(
            Volume pre, List<Phase> phases, double noise, Map<Tissue, Reference> before, Map<Tissue, Reference> after) {
        Enhancement.Maps maps =
                Enhancement.measure(pre, phases, LESION, noise, Enhancement.Settings.standard(), Workers.SINGLE);
        Images images = new Images(
                pre, before, phases.stream().map(p -> new Reading(p, after)).toList(), maps);
        return LesionEnhancement.measure(images, LESION, Settings.standard().withNoise(noise), Workers.SINGLE);
    }
}
