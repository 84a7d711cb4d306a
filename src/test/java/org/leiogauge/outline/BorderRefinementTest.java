// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.Arrays;
import java.util.List;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.BorderRefinement.Method;
import org.leiogauge.outline.BorderRefinement.Settings;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class BorderRefinementTest {
    // Oracle for all: the analytic solid that the scene was computed from.

    @Test
    void aDarkLesionIsFoundFromASloppyDrawing() {
        LesionScene scene = scene(LesionScene.Look.DARK);
        Refined refined = refine(scene, Settings.standard());
        assertThat(dice(scene.rough(), scene)).isLessThan(0.95);
        assertThat(dice(refined.mask(), scene)).isGreaterThan(0.98);
        assertThat(hausdorff95(refined.mask(), scene)).isLessThanOrEqualTo(1.5);
        assertThat(refined.decisions()).anyMatch(text -> text.startsWith("the border was refined by random walk and"));
    }

    @Test
    void brightPocketsAtTheBorderDoNotDrawItInwards() {
        LesionScene scene = scene(LesionScene.Look.CYSTIC);
        Refined refined = refine(scene, Settings.standard());
        assertThat(dice(refined.mask(), scene)).isGreaterThan(0.96);
        assertThat(refined.mask().volume() / scene.truth().volume()).isBetween(0.96, 1.04);
    }

    @Test
    void eitherMethodAloneBeatsTheDrawing() {
        LesionScene scene = scene(LesionScene.Look.HYALINE);
        for (Method method : List.of(Method.RANDOM_WALK, Method.ACTIVE_SURFACE)) {
            Refined refined = refine(scene, new Settings(method, 5, 0.6, 0.2));
            assertThat(dice(refined.mask(), scene)).isGreaterThan(0.97);
            assertThat(refined.disputed().isEmpty()).isTrue();
        }
    }

    @Test
    void whereBothSidesLookAlikeTheDrawingStays() {
        LesionScene scene = scene(LesionScene.Look.SAME);
        Refined refined = refine(scene, Settings.standard());
        assertThat(refined.mask().voxels()).isEqualTo(scene.rough().voxels());
        assertThat(refined.decisions())
                .anyMatch(text -> text.startsWith("the border was left as drawn: both sides of it look alike"));
    }

    @Test
    void anImageWithoutAnyContrastLeavesTheDrawing() {
        LesionScene scene = scene(LesionScene.Look.DARK);
        Volume flat =
                new Volume(LesionScene.GRID, new float[LesionScene.GRID.size().voxels()]);
        Mask refined = BorderRefinement.refine(
                        Rough.of(List.of(flat), scene.rough()), Settings.standard(), Workers.SINGLE, Progress.NONE)
                .mask();
        assertThat(refined.voxels()).isEqualTo(scene.rough().voxels());
    }

    @Test
    void correctionsHold() {
        LesionScene scene = scene(LesionScene.Look.DARK);
        byte[] add = new byte[scene.truth().voxels().length];
        byte[] remove = new byte[add.length];
        int outside = LesionScene.GRID.offset(2, 2, 10);
        int middle = LesionScene.GRID.offset(56, 52, 10);
        add[outside] = 1;
        remove[middle] = 1;
        Rough rough = new Rough(
                scene.channels(), scene.rough(), new Mask(LesionScene.GRID, add), new Mask(LesionScene.GRID, remove));
        Refined refined = BorderRefinement.refine(rough, Settings.standard(), Workers.SINGLE, Progress.NONE);
        assertThat(refined.mask().voxels()[outside]).isEqualTo((byte) 1);
        assertThat(refined.mask().voxels()[middle]).isEqualTo((byte) 0);
        assertThat(refined.decisions()).contains("corrections of the reader hold: 1 voxels added, 1 removed");
    }

    @Test
    void probabilityMaskAndDisputeFitTogether() {
        LesionScene scene = scene(LesionScene.Look.CELLULAR);
        Refined refined = refine(scene, Settings.standard());
        float[] p = refined.probability().voxels();
        for (int i = 0; i < p.length; i++) {
            assertThat(p[i]).isBetween(0f, 1f);
            assertThat(p[i] >= 0.5f).isEqualTo(refined.mask().voxels()[i] != 0);
        }
        // Oracle: what is disputed is where errors are: more often wrong than a voxel of the border's neighbourhood
        int wrong = 0;
        for (int i = 0; i < p.length; i++)
            if (refined.disputed().voxels()[i] != 0
                    && refined.mask().voxels()[i] != scene.truth().voxels()[i]) wrong++;
        assertThat((double) wrong / refined.disputed().count()).isGreaterThan(0.1);
    }

    @Test
    void theResultIsTheSameForAnyNumberOfThreads() {
        LesionScene scene = scene(LesionScene.Look.NECROTIC);
        Refined one = refine(scene, Settings.standard());
        for (int threads : new int[] {2, 3})
            try (Workers workers = Workers.of(threads)) {
                Refined many = BorderRefinement.refine(
                        Rough.of(scene.channels(), scene.rough()), Settings.standard(), workers, Progress.NONE);
                assertThat(many.mask().voxels()).isEqualTo(one.mask().voxels());
                assertThat(many.probability().voxels())
                        .isEqualTo(one.probability().voxels());
            }
    }

    @Test
    void scaledGreyLevelsMoveNothing() {
        LesionScene scene = scene(LesionScene.Look.DARK);
        Volume t2 = scene.channels().get(0);
        float[] scaled = t2.voxels().clone();
        for (int i = 0; i < scaled.length; i++) scaled[i] *= 4;
        Rough plain = Rough.of(List.of(t2), scene.rough());
        Rough other = Rough.of(List.of(new Volume(t2.grid(), scaled)), scene.rough());
        assertThat(mask(other)).isEqualTo(mask(plain));
    }

    @Test
    void oddInputIsSurvived() {
        LesionScene scene = scene(LesionScene.Look.DARK);
        byte[] one = new byte[scene.truth().voxels().length];
        one[LesionScene.GRID.offset(0, 0, 0)] = 1;
        assertThat(mask(Rough.of(scene.channels(), new Mask(LesionScene.GRID, one))))
                .isEqualTo(one);
        float[] holes = scene.channels().get(0).voxels().clone();
        Arrays.fill(holes, 0, holes.length / 2, Float.NaN);
        Volume half = new Volume(LesionScene.GRID, holes);
        byte[] found = mask(Rough.of(List.of(half), scene.rough()));
        assertThat(dice(new Mask(LesionScene.GRID, found), scene)).isGreaterThan(0.9);
        assertThatThrownBy(() -> Rough.of(List.of(half), new Mask(LesionScene.GRID, new byte[one.length])))
                .hasMessageContaining("mask must hold a voxel");
        assertThatThrownBy(() -> new Settings(Method.BOTH, 0, 0.6, 0.2)).hasMessageContaining("moveMm must be");
    }

    private static LesionScene scene(LesionScene.Look look) {
        return LesionScene.of(look, 45, 1.5, 4, 7);
    }

    private static Refined refine(LesionScene scene, Settings settings) {
        return BorderRefinement.refine(
                Rough.of(scene.channels(), scene.rough()), settings, Workers.SINGLE, Progress.NONE);
    }

    private static byte[] mask(Rough rough) {
        return BorderRefinement.refine(rough, Settings.standard(), Workers.SINGLE, Progress.NONE)
                .mask()
                .voxels();
    }

    private static double dice(Mask mask, LesionScene scene) {
        return OutlineAgreement.between(mask, scene.truth(), Workers.SINGLE)
                .dice()
                .number()
                .orElseThrow();
    }

    private static double hausdorff95(Mask mask, LesionScene scene) {
        return OutlineAgreement.between(mask, scene.truth(), Workers.SINGLE)
                .hausdorff95()
                .number()
                .orElseThrow();
    }
}
