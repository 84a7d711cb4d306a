// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.CancellationException;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** On a body that is a formula, so that where each place went is known exactly. */
class AlignmentTest {
    private static final Vector NONE = new Vector(0, 0, 0);
    private static final Grid THICK = grid(new Size(112, 106, 26), new Spacing(1, 1, 4), DirectionCosines.AXIAL);
    private static final Grid FINE = grid(new Size(110, 100, 60), new Spacing(1.2, 1.2, 2), DirectionCosines.AXIAL);
    private static final Grid SAGITTAL = grid(
            new Size(100, 100, 32),
            new Spacing(1.2, 1.2, 4),
            DirectionCosines.of(new Vector(0, 1, 0), new Vector(0, 0, -1)));
    private static final Correspondence HERE = Correspondence.identity(Scene.LESION);
    private static final Alignment.Settings STANDARD = Alignment.Settings.standard(new Alignment.Model.Rigid());

    private final Volume fixed = Scene.image(THICK, 0, HERE, 12, 1);
    private final Mask lesion = Scene.lesion(THICK);

    // Oracle: the movement that went in. Tolerance: issue 4, 1 mm inside the lesion.
    @Test
    void knownMovementsAreFoundBetweenTwoContrasts() {
        SplittableRandom random = new SplittableRandom(11);
        for (int trial = 0; trial < 3; trial++) {
            Correspondence truth = moved(direction(random, 0.087), direction(random, 10));
            Volume moving = Scene.image(trial == 1 ? SAGITTAL : FINE, 1, truth, 15, 20 + trial);
            Alignment.Result result = align(moving, STANDARD);
            assertThat(result.outcome()).as(result.decision()).isEqualTo(Alignment.Outcome.IMPROVED);
            double error = Scene.error(result.correspondence(), truth);
            assertThat(error).as(result.decision()).isLessThan(1);
            assertThat(residual(result)).isGreaterThan(error / 4).isLessThan(1);
        }
    }

    // Oracle: the movement and the displacement that went in.
    @Test
    void echoPlanarDisplacementIsFoundWithTheMovement() {
        EchoPlanarShift bent = new EchoPlanarShift(
                new Vector(0, 1, 0), Scene.LESION, 40, List.of(1.2, -1.0, 0.8, 1.0, 0.7, -0.9, 0.6, 0.0, -0.5));
        Correspondence truth = new Correspondence(
                moved(new Vector(0.02, 0, -0.03), new Vector(2, 3, -1)).motion(), bent);
        Volume moving = Scene.image(FINE, 1, truth, 15, 30);
        Alignment.Result bending =
                align(moving, Alignment.Settings.standard(new Alignment.Model.EchoPlanar(new Vector(0, 1, 0))));
        Alignment.Result rigid = align(moving, STANDARD);
        assertThat(bending.outcome()).as(bending.decision()).isEqualTo(Alignment.Outcome.IMPROVED);
        assertThat(Scene.error(bending.correspondence(), truth))
                .isLessThan(0.5)
                .isLessThan(0.7 * Scene.error(rigid.correspondence(), truth));
    }

    // Oracle: nothing moved.
    @Test
    void anImageAlreadyInPlaceKeepsThePatientCoordinates() {
        for (Volume moving : List.of(fixed, Scene.image(FINE, 1, HERE, 15, 3))) {
            Alignment.Result result = align(moving, STANDARD);
            assertThat(Scene.error(result.found(), HERE)).isLessThan(0.3);
            assertThat(residual(result)).isLessThan(0.6);
            if (!result.outcome().isImproved())
                assertThat(result.correspondence()).isEqualTo(HERE);
        }
        Alignment.Result same = align(fixed, STANDARD);
        assertThat(same.outcome()).as(same.decision()).isEqualTo(Alignment.Outcome.NO_GAIN);
        assertThat(same.decision()).startsWith("Patient coordinates stand: ");
    }

    // Oracle: there is nothing in common to find.
    @Test
    void imagesWithoutSharedContentAreNotImprovedOn() {
        Grid grid = FINE;
        for (int seed = 0; seed < 3; seed++) {
            Alignment.Result result = align(blobs(grid, seed), STANDARD);
            assertThat(result.outcome().isImproved()).as(result.decision()).isFalse();
            assertThat(result.correspondence()).isEqualTo(HERE);
        }
        Alignment.Result flat = align(new Volume(grid, new float[grid.size().voxels()]), STANDARD);
        assertThat(flat.outcome().isImproved()).as(flat.decision()).isFalse();
    }

    // Oracle: the movement that went in is beyond the limit.
    @Test
    void aMovementBeyondTheLimitsIsNeverApplied() {
        for (Vector shift : List.of(new Vector(34, 0, 0), new Vector(0, 0, 38))) {
            Alignment.Result result = align(Scene.image(FINE, 1, moved(NONE, shift), 15, 5), STANDARD);
            assertThat(result.outcome().isImproved()).as(result.decision()).isFalse();
        }
        Volume turned = Scene.image(FINE, 1, moved(new Vector(0, 0, 0.4), NONE), 15, 6);
        assertThat(align(turned, STANDARD).outcome().isImproved()).isFalse();
    }

    @Test
    void anImageOfAnotherPlaceIsRefused() {
        Grid away = new Grid(FINE.size(), FINE.spacing(), FINE.direction(), new Point(300, 0, 0));
        Alignment.Result result = align(new Volume(away, new float[away.size().voxels()]), STANDARD);
        assertThat(result.outcome()).isEqualTo(Alignment.Outcome.LITTLE_OVERLAP);
        assertThat(result.residualMm().reason()).contains("less than half");
    }

    // Oracle: the same result for 1 thread.
    @Test
    void threadsDoNotChangeADigit() {
        Volume moving = Scene.image(FINE, 1, moved(new Vector(0.03, 0, 0.02), new Vector(4, -3, 2)), 15, 8);
        Alignment.Result one = align(moving, STANDARD);
        for (int threads : new int[] {2, 7})
            try (Workers workers = Workers.of(threads)) {
                Alignment.Result many = Alignment.align(fixed, moving, lesion, STANDARD, workers, Progress.NONE);
                assertThat(many).isEqualTo(one);
            }
    }

    // Oracle: the movement that went in; voxels without a value are only fewer to look at.
    @Test
    void voxelsWithoutAValueDoNotSpoilTheRest() {
        Correspondence truth = moved(new Vector(0.02, 0.01, 0), new Vector(-3, 2, 2));
        Volume moving = Scene.image(FINE, 1, truth, 15, 9);
        for (int i = 0; i < 4000; i++) moving.voxels()[i * 7] = Float.NaN;
        assertThat(Scene.error(align(moving, STANDARD).correspondence(), truth)).isLessThan(1);
    }

    // Oracle: there is nothing to see.
    @Test
    void anImageWithoutAnyValueIsRefused() {
        float[] nothing = new float[THICK.size().voxels()];
        Arrays.fill(nothing, Float.NaN);
        Volume empty = new Volume(THICK, nothing);
        for (Alignment.Result result : List.of(
                align(empty, STANDARD), Alignment.align(empty, fixed, lesion, STANDARD, Workers.SINGLE, Progress.NONE)))
            assertThat(result.outcome().isImproved()).as(result.decision()).isFalse();
    }

    @Test
    void progressRisesAndCancelIsHeard() {
        List<Double> seen = new ArrayList<>();
        Volume moving = Scene.image(FINE, 1, HERE, 15, 10);
        Alignment.align(fixed, moving, lesion, STANDARD, Workers.SINGLE, seen::add);
        assertThat(seen).isSorted().endsWith(1.0);
        Progress stop = fraction -> {
            throw new CancellationException();
        };
        assertThatThrownBy(() -> Alignment.align(fixed, moving, lesion, STANDARD, Workers.SINGLE, stop))
                .isInstanceOf(CancellationException.class);
    }

    @Test
    void anEmptyLesionIsTheCallersMistake() {
        Mask empty = new Mask(THICK, new byte[THICK.size().voxels()]);
        assertThatThrownBy(() -> Alignment.align(fixed, fixed, empty, STANDARD, Workers.SINGLE, Progress.NONE))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessageContaining("lesion must not be empty");
    }

    private Alignment.Result align(Volume moving, Alignment.Settings settings) {
        return Alignment.align(fixed, moving, lesion, settings, Workers.SINGLE, Progress.NONE);
    }

    private static double residual(Alignment.Result result) {
        return result.residualMm().number().orElseThrow();
    }

    private static Correspondence moved(Vector turn, Vector shift) {
        return new Correspondence(RigidTransform.of(turn, Scene.LESION, shift), EchoPlanarShift.none(Scene.LESION));
    }

    private static Vector direction(SplittableRandom random, double length) {
        return new Vector(Solids.normal(random), Solids.normal(random), Solids.normal(random))
                .unit()
                .times(length);
    }

    // Smooth blobs that have nothing to do with the body.
    private static Volume blobs(Grid grid, int seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] k = random.doubles(60, -0.15, 0.15).toArray();
        float[] voxels = new float[grid.size().voxels()];
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++) {
                    Point p = grid.point(x, y, z);
                    double sum = 500;
                    for (int i = 0; i + 3 < k.length; i += 4)
                        sum += 60 * Math.sin(k[i] * p.x() + k[i + 1] * p.y() + k[i + 2] * p.z() + 40 * k[i + 3]);
                    voxels[grid.offset(x, y, z)] = (float) (sum + 20 * Solids.normal(random));
                }
        return new Volume(grid, voxels);
    }

    // Centred on the lesion.
    private static Grid grid(Size size, Spacing spacing, DirectionCosines direction) {
        Grid at = new Grid(size, spacing, direction, Scene.LESION);
        Point middle = at.point((size.x() - 1) / 2.0, (size.y() - 1) / 2.0, (size.z() - 1) / 2.0);
        return new Grid(size, spacing, direction, Scene.LESION.plus(Scene.LESION.minus(middle)));
    }
}
