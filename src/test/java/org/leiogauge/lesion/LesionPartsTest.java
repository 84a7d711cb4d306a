// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionImages.Contrast;
import org.leiogauge.lesion.LesionImages.Diffusion;
import org.leiogauge.lesion.LesionImages.Masks;
import org.leiogauge.lesion.LesionImages.T1;
import org.leiogauge.lesion.LesionImages.T2;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.signal.Enhancement;
import org.leiogauge.signal.Enhancement.Phase;
import org.leiogauge.study.Tissue;
import org.leiogauge.task.Workers;

/** A ball of 22 mm with a cyst, a bleeding and a dead part, in voxels of 0.75 × 0.75 × 4 mm. */
class LesionPartsTest {
    private static final Grid GRID = Solids.grid(70, 70, 16, 0.75, 0.75, 4);
    private static final Mask LESION = Solids.mask(GRID, Solids.ball(26, 26, 30, 22));
    private static final Mask CYST = Solids.mask(GRID, Solids.ball(18, 26, 30, 7));
    private static final Mask BLOOD = Solids.mask(GRID, Solids.ball(34, 28, 30, 6));
    private static final Mask DEAD = Solids.mask(GRID, Solids.ball(26, 38, 30, 6));
    private static final LesionSettings SETTINGS = LesionSettings.standard();
    private static final double NOISE = 10;

    @Test
    void partsHaveTheVolumesOfTheSolidsThatTheImagesWereComputedFrom() {
        LesionParts parts = parts(images());
        // Oracle: the solids; the issue asks for 5 % or 1 mL.
        assertVolume(parts, Kind.CYSTIC, CYST.volume());
        assertVolume(parts, Kind.HAEMORRHAGIC, BLOOD.volume());
        double dead = CYST.volume() + BLOOD.volume() + DEAD.volume();
        assertVolume(parts, Kind.NON_ENHANCING, dead);
        assertVolume(parts, Kind.ENHANCING, LESION.volume() - dead);
        // Oracle: viable tissue has an ADC of 0.7, all else more than the cut-off
        assertVolume(parts, Kind.RESTRICTED, LESION.volume() - dead);
        assertThat(parts.of(Kind.CYSTIC).orElseThrow().series()).isEqualTo("t2");
        assertThat(parts.of(Kind.ENHANCING).orElseThrow().volume()
                        + parts.of(Kind.NON_ENHANCING).orElseThrow().volume())
                .isCloseTo(LESION.volume(), within(1e-6));
    }

    @Test
    void whatStandsFarFromItsLimitIsSureAndWhatLiesWithinTheNoiseIsNot() {
        LesionParts clear = parts(images());
        for (LesionParts.Part part : clear.parts())
            assertThat(part.confidence()).isGreaterThan(0.97);
        // Oracle: closed form. A rise of 30 with noise σ = 10 √2, limit 15: the mean of Φ((v - 15) / σ) over normal v
        // about 30 is Φ(15 / (σ √2)) = Φ(0.75) = 0.773.
        LesionParts faint = parts(new LesionImages(
                Optional.empty(),
                Optional.empty(),
                Optional.of(contrast(image(200, 200, 200, 200, 1), image(230, 200, 200, 200, 2))),
                Optional.empty()));
        assertThat(faint.of(Kind.ENHANCING).orElseThrow().confidence()).isCloseTo(0.773, within(0.02));
        assertThat(clear.of(Kind.ENHANCING)
                        .orElseThrow()
                        .value()
                        .value()
                        .value()
                        .definition())
                .isEqualTo(LesionDefinitions.PART_CONFIDENCE);
    }

    @Test
    void withoutContrastFluidIsCysticAndNothingIsCalledNonEnhancing() {
        LesionImages all = images();
        LesionParts parts = parts(new LesionImages(all.t2(), Optional.empty(), Optional.empty(), Optional.empty()));
        assertThat(parts.parts()).extracting(LesionParts.Part::kind).containsExactly(Kind.CYSTIC);
    }

    @Test
    void fluidThatEnhancesIsNotCystic() {
        LesionImages all = images();
        // Oracle: bright on T2 and rising after contrast, as myxoid change is.
        LesionParts parts = parts(new LesionImages(
                all.t2(),
                Optional.empty(),
                Optional.of(contrast(image(200, 200, 200, 200, 1), image(500, 500, 200, 200, 2))),
                Optional.empty()));
        assertThat(parts.of(Kind.CYSTIC)).isEmpty();
        assertVolume(parts, Kind.NON_ENHANCING, BLOOD.volume() + DEAD.volume());
    }

    private static void assertVolume(LesionParts parts, Kind kind, double truth) {
        assertThat(parts.of(kind).orElseThrow().volume())
                .as(kind.words())
                .isCloseTo(truth, within(Math.max(1000, 0.05 * truth)));
    }

    private static LesionParts parts(LesionImages images) {
        Masks masks = new Masks(
                LESION,
                images.t2().map(i -> LESION),
                images.t1().map(i -> LESION),
                images.contrast().map(i -> LESION),
                images.diffusion().map(i -> LESION));
        List<PlacedValue> values = LesionMeasurement.measure(images, masks, SETTINGS, Workers.SINGLE);
        return LesionParts.of(images, masks, values, SETTINGS, Workers.SINGLE);
    }

    private static LesionImages images() {
        Map<Tissue, Reference> references = Map.of(Tissue.MYOMETRIUM, new Accepted(300, 10, 80));
        Volume t1 = image(300, 250, 900, 280, 3);
        float[] sure = new float[GRID.size().voxels()];
        java.util.Arrays.fill(sure, 0.03f);
        return new LesionImages(
                Optional.of(new T2(image(250, 1600, 300, 260, 4), references)),
                Optional.of(new T1(t1, true, Optional.empty(), references)),
                Optional.of(contrast(image(200, 200, 200, 200, 1), image(500, 200, 200, 200, 2))),
                Optional.of(new Diffusion(
                        scaled(image(700, 2600, 1500, 1400, 5)),
                        Optional.of(new Volume(GRID, sure)),
                        Optional.empty())));
    }

    private static Volume scaled(Volume image) {
        float[] v = image.voxels().clone();
        for (int i = 0; i < v.length; i++) v[i] /= 1000;
        return new Volume(GRID, v);
    }

    private static Contrast contrast(Volume pre, Volume post) {
        List<Phase> phases = List.of(new Phase(180, post));
        byte[] all = new byte[GRID.size().voxels()];
        java.util.Arrays.fill(all, (byte) 1);
        Enhancement.Maps maps = Enhancement.measure(
                pre, phases, new Mask(GRID, all), NOISE, Enhancement.Settings.standard(), Workers.SINGLE);
        List<LesionEnhancement.Reading> readings = new ArrayList<>();
        phases.forEach(phase -> readings.add(new LesionEnhancement.Reading(phase, Map.of())));
        return new Contrast(new LesionEnhancement.Images(pre, Map.of(), readings, maps), NOISE);
    }

    private static Volume image(double viable, double cyst, double blood, double dead, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[GRID.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            double v = CYST.voxels()[i] != 0
                    ? cyst
                    : BLOOD.voxels()[i] != 0 ? blood : DEAD.voxels()[i] != 0 ? dead : viable;
            voxels[i] = (float) (v + NOISE * Solids.normal(random));
        }
        return new Volume(GRID, voxels);
    }
}
