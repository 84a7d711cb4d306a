// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;

class DrawingTest {
    // Sagittal, so that a mixed-up axis shows.
    private static final Grid GRID = new Grid(
            new Size(9, 7, 3),
            new Spacing(1, 2, 5),
            DirectionCosines.of(new Vector(0, 1, 0), new Vector(0, 0, -1)),
            new Point(-20, 10, 30));

    private final Drawing drawing = new Drawing(GRID);

    private static Point at(double x, double y, double z) {
        return GRID.point(x, y, z);
    }

    private static List<Point> box(double left, double top, double right, double bottom, double z) {
        return List.of(at(left, top, z), at(right, top, z), at(right, bottom, z), at(left, bottom, z));
    }

    private static String picture(Mask mask, int z) {
        StringBuilder picture = new StringBuilder();
        for (int y = 0; y < mask.grid().size().y(); y++) {
            for (int x = 0; x < mask.grid().size().x(); x++) picture.append(mask.has(x, y, z) ? '#' : '.');
            picture.append('\n');
        }
        return picture.toString();
    }

    @Test
    void aLineFillsTheVoxelsWhoseCentresItGoesRound() {
        drawing.fill(1, box(1.5, 0.5, 5.5, 3.5, 1), true);
        // Oracle: counted by hand.
        assertThat(picture(drawing.region(), 1)).isEqualTo("""
                .........
                ..####...
                ..####...
                ..####...
                .........
                .........
                .........
                """);
        assertThat(drawing.region().count()).isEqualTo(12);
    }

    @Test
    void aLineThatIsHeldALittleOffTheSliceFillsTheSliceItWasDrawnOn() {
        drawing.fill(1, box(1.5, 0.5, 5.5, 3.5, 1.4), true);
        assertThat(drawing.largestSlice()).hasValue(1);
        assertThat(drawing.region().count()).isEqualTo(12);
    }

    @Test
    void takingAwayCutsAHole() {
        drawing.fill(0, box(0.5, 0.5, 6.5, 5.5, 0), true);
        drawing.fill(0, box(2.5, 1.5, 4.5, 4.5, 0), false);
        assertThat(picture(drawing.region(), 0)).isEqualTo("""
                .........
                .######..
                .##..##..
                .##..##..
                .##..##..
                .######..
                .........
                """);
        assertThat(drawing.borders(0)).hasSize(2);
        assertThat(drawing.borders(1)).isEmpty();
    }

    @Test
    void theBrushPaintsWhatLiesWithinItsRadiusInMillimetres() {
        drawing.brush(2, List.of(at(3, 3, 2), at(5, 3, 2)), 2, true);
        // Oracle: counted by hand: rows are 2 mm apart, columns 1 mm.
        assertThat(picture(drawing.region(), 2)).isEqualTo("""
                .........
                .........
                ...###...
                .#######.
                ...###...
                .........
                .........
                """);
    }

    @Test
    void theBrushPaintsWhatBruteForceOverAllVoxelsFinds() {
        SplittableRandom random = new SplittableRandom(7);
        for (int round = 0; round < 50; round++) {
            Drawing fresh = new Drawing(GRID);
            double radius = 0.5 + 4 * random.nextDouble();
            List<Point> path = new ArrayList<>();
            for (int i = 0; i < 3; i++) path.add(at(9 * random.nextDouble(), 7 * random.nextDouble(), 1));
            fresh.brush(1, path, radius, true);
            Mask painted = fresh.region();
            for (int y = 0; y < 7; y++)
                for (int x = 0; x < 9; x++) {
                    // Oracle: brute force over many points of the path.
                    double nearest = Double.POSITIVE_INFINITY;
                    for (int piece = 0; piece < 2; piece++)
                        for (int step = 0; step <= 2000; step++)
                            nearest = Math.min(
                                    nearest, between(path, piece, step / 2000.0).distance(at(x, y, 1)));
                    if (Math.abs(nearest - radius) > 0.01)
                        assertThat(painted.has(x, y, 1))
                                .as(round + ": " + x + ", " + y)
                                .isEqualTo(nearest < radius);
                }
        }
    }

    private static Point between(List<Point> path, int piece, double share) {
        Point a = path.get(piece);
        return a.plus(path.get(piece + 1).minus(a).times(share));
    }

    @Test
    void correctionsHoldUntilALineSaysOtherwise() {
        drawing.fill(1, box(-0.5, -0.5, 8.5, 6.5, 1), true);
        drawing.correct(1, List.of(at(4, 3, 1)), 0.9, false);
        assertThat(drawing.region().has(4, 3, 1)).isFalse();
        assertThat(drawing.removed().count()).isEqualTo(1);
        drawing.correct(1, List.of(at(4, 3, 1)), 0.9, true);
        assertThat(drawing.region().has(4, 3, 1)).isTrue();
        assertThat(drawing.added().count()).isEqualTo(1);
        assertThat(drawing.removed().count()).isZero();
        drawing.brush(1, List.of(at(4, 3, 1)), 0.9, false);
        assertThat(drawing.added().count()).isZero();
    }

    @Test
    void aRefinedRegionTakesThePlaceOfTheDrawnOneAndCorrectionsStay() {
        drawing.correct(0, List.of(at(1, 1, 0)), 0.9, true);
        byte[] other = new byte[GRID.size().voxels()];
        other[GRID.offset(5, 5, 2)] = 1;
        drawing.replace(new Mask(GRID, other));
        assertThat(drawing.region().voxels()).isEqualTo(other);
        assertThat(drawing.added().count()).isEqualTo(1);
        Grid larger = new Grid(new Size(9, 7, 4), GRID.spacing(), GRID.direction(), GRID.origin());
        assertThatThrownBy(() -> drawing.replace(new Mask(larger, new byte[9 * 7 * 4])))
                .hasMessage("other must have the drawing's size 9 × 7 × 3, got 9 × 7 × 4");
    }

    @Test
    void aSliceIsCopiedToTheNextAndNotBeyondTheLast() {
        drawing.fill(1, box(1.5, 0.5, 5.5, 3.5, 1), true);
        drawing.copy(1, 2);
        assertThat(picture(drawing.region(), 2)).isEqualTo(picture(drawing.region(), 1));
        drawing.copy(2, 3);
        assertThat(drawing.region().count()).isEqualTo(24);
    }

    @Test
    void everyChangeCanBeTakenBackAndDoneAgain() {
        SplittableRandom random = new SplittableRandom(11);
        List<byte[]> states = new ArrayList<>(List.of(state()));
        for (int i = 0; i < 300; i++) {
            change(random);
            if (drawing.changes() == states.size()) states.add(state());
        }
        assertThat(states).hasSizeGreaterThan(100);
        // Oracle: what stood there after each change.
        for (int i = states.size() - 2; i >= 0; i--) {
            assertThat(drawing.undo()).isTrue();
            assertThat(state()).isEqualTo(states.get(i));
        }
        assertThat(drawing.undo()).isFalse();
        for (int i = 1; i < states.size(); i++) {
            assertThat(drawing.redo()).isTrue();
            assertThat(state()).isEqualTo(states.get(i));
        }
        assertThat(drawing.redo()).isFalse();
    }

    private byte[] state() {
        byte[] state = drawing.region().voxels().clone();
        byte[] added = drawing.added().voxels();
        byte[] removed = drawing.removed().voxels();
        for (int i = 0; i < state.length; i++) state[i] += (byte) (2 * added[i] + 4 * removed[i]);
        return state;
    }

    private void change(SplittableRandom random) {
        int z = random.nextInt(3);
        Point point = at(9 * random.nextDouble(), 7 * random.nextDouble(), z);
        switch (random.nextInt(6)) {
            case 0 -> drawing.brush(z, List.of(point), 3 * random.nextDouble(), random.nextBoolean());
            case 1 -> drawing.correct(z, List.of(point), 3 * random.nextDouble(), random.nextBoolean());
            case 2 -> drawing.fill(z, box(1.5, 0.5, 2 + 5 * random.nextDouble(), 5.5, z), random.nextBoolean());
            case 3 -> drawing.copy(z, random.nextInt(3));
            case 4 -> drawing.replace(drawing.removed());
            default -> drawing.clear();
        }
    }

    @Test
    void anotherChangeAfterTakingBackForgetsWhatWasTakenBack() {
        drawing.brush(0, List.of(at(1, 1, 0)), 1, true);
        drawing.undo();
        drawing.brush(0, List.of(at(5, 5, 0)), 1, true);
        assertThat(drawing.redo()).isFalse();
    }

    @Test
    void whatIsDrawnBesideTheImageChangesNothing() {
        drawing.fill(1, box(20, 20, 30, 30, 1), true);
        drawing.fill(5, box(1, 1, 3, 3, 5), true);
        drawing.fill(1, List.of(at(1, 1, 1), at(2, 2, 1)), true);
        drawing.brush(-1, List.of(at(1, 1, 1)), 3, true);
        drawing.brush(1, List.of(), 3, true);
        assertThat(drawing.isEmpty()).isTrue();
        assertThat(drawing.changes()).isZero();
    }
}
