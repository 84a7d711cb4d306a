// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.DoubleStream;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.table.Definition;
import org.leiogauge.task.Workers;

class MarginShapeTest {
    private static final MarginShape.Settings STANDARD = MarginShape.Settings.standard();
    private static final double GOLDEN_RATIO = (1 + Math.sqrt(5)) / 2;

    private static List<LesionValue> measure(Mask mask) {
        return MarginShape.measure(mask, STANDARD, Workers.SINGLE);
    }

    private static double number(List<LesionValue> values, Definition definition) {
        return find(values, definition).value().measurement().number().orElseThrow();
    }

    private static LesionValue find(List<LesionValue> values, Definition definition) {
        return values.stream()
                .filter(v -> v.value().definition().equals(definition))
                .findFirst()
                .orElseThrow();
    }

    // Oracle: closed form, RMS of e R P_l over the sphere is e R / √(2l + 1); 1 mm voxels leave steps of some 0.05 mm.
    @Test
    void roughnessOfABallWithAWaveMatchesTheClosedForm() {
        for (int l : new int[] {5, 6, 8, 11}) {
            StarSolid solid = new StarSolid(30, 30, 30).wave(l, 2, 0.3, -0.5, 0.8);
            List<LesionValue> values = measure(solid.mask(1, 1, 1, 36, new SplittableRandom(l)));
            double expected = 2 / Math.sqrt(2 * l + 1);
            assertThat(number(values, LesionDefinitions.MARGIN_ROUGHNESS))
                    .as("l " + l)
                    .isCloseTo(expected, within(0.04));
            int degree = l;
            double inSpectrum = values.stream()
                    .filter(v -> v.value().aggregation().name().equals("degree " + degree))
                    .mapToDouble(v -> v.value().measurement().number().orElseThrow())
                    .sum();
            assertThat(inSpectrum).isCloseTo(expected, within(0.04));
        }
    }

    // Oracle: an ellipsoid is its own smooth shape, 0. Tolerance: steps of the voxels, 0.75 mm or a third of a slice.
    @Test
    void anEllipsoidIsSmoothHoweverElongated() {
        for (double[] axes : new double[][] {{30, 30, 30}, {45, 25, 20}, {22, 24, 48}}) {
            Mask mask = new StarSolid(axes[0], axes[1], axes[2]).mask(0.75, 0.75, 5, 52, new SplittableRandom(3));
            List<LesionValue> values = measure(mask);
            assertThat(number(values, LesionDefinitions.MARGIN_ROUGHNESS)).isLessThan(0.25);
            assertThat(number(values, LesionDefinitions.LOBULATION_COUNT)).isZero();
            assertThat(number(values, LesionDefinitions.LOBULATION_DEPTH)).isZero();
        }
    }

    // Oracle: the order in which the solids were made; their roughness by brute force over directions.
    @Test
    void sixGradedSurfacesAreRankedRightInFortyOfFortySeeds() {
        double[] perDegree = {0, 0.1, 0.18, 0.28, 0.4, 0.6};
        int right = 0;
        for (int seed = 0; seed < 40; seed++) {
            int kept = seed;
            double[] found = DoubleStream.of(perDegree)
                    .map(rms -> {
                        SplittableRandom random = new SplittableRandom(kept);
                        StarSolid solid = new StarSolid(32, 27, 29).rough(3, 4, 0.3, random);
                        Mask mask = solid.rough(5, 12, rms, random).mask(0.75, 0.75, 5, 40, random);
                        double measured = number(measure(mask), LesionDefinitions.MARGIN_ROUGHNESS);
                        // 8 degrees; thick slices hide up to a tenth
                        assertThat(measured).isCloseTo(rms * Math.sqrt(8), within(0.12 + 0.1 * rms));
                        return measured;
                    })
                    .toArray();
            boolean ranked = true;
            for (int i = 1; i < 6; i++) ranked &= found[i] > found[i - 1];
            if (ranked) right++;
        }
        assertThat(right).isEqualTo(40);
    }

    // Oracle: the number of bumps put on; corners of the regular solids, in a frame that no grid axis shares.
    @Test
    void bulgesAreCounted() {
        double[][] tetrahedron = {{1, 1, 1}, {1, -1, -1}, {-1, 1, -1}, {-1, -1, 1}};
        double[][] octahedron = {{1, 0, 0}, {-1, 0, 0}, {0, 1, 0}, {0, -1, 0}, {0, 0, 1}, {0, 0, -1}};
        double[][] icosahedron = new double[12][];
        for (int i = 0; i < 12; i++) {
            icosahedron[i] = new double[3];
            icosahedron[i][(i / 4 + 1) % 3] = (i & 1) == 0 ? 1 : -1;
            icosahedron[i][(i / 4 + 2) % 3] = (i & 2) == 0 ? GOLDEN_RATIO : -GOLDEN_RATIO;
        }
        for (double[][] places : List.of(tetrahedron, octahedron, icosahedron))
            for (double spacing : new double[] {1, 4}) {
                StarSolid solid = new StarSolid(30, 30, 30);
                for (double[] p : places) solid.bump(5, 18, 0.8 * p[0] + 0.6 * p[2], p[1], 0.8 * p[2] - 0.6 * p[0]);
                List<LesionValue> values = measure(solid.mask(1, 1, spacing, 42, new SplittableRandom(9)));
                assertThat(number(values, LesionDefinitions.LOBULATION_COUNT))
                        .as(places.length + " bumps, slices of " + spacing + " mm")
                        .isEqualTo(places.length);
            }
    }

    // Oracle: closed forms; 4 π A / P² = 0.90876 of an ellipse of 50 and 30 mm (P from the elliptic integral), 0.7667
    // of
    // r = 40 (1 + 0.1 cos 8t); bending energies of both by quadrature of the exact curvature, below. Tolerance: pixels.
    @Test
    void formInTheSlicesMatchesTheClosedForms() {
        Mask ellipse = Solids.mask(
                Solids.grid(140, 90, 4, 0.75, 0.75, 5),
                (x, y, z) -> Math.pow((x - 52.3) / 50, 2) + Math.pow((y - 33.6) / 30, 2) <= 1);
        List<LesionValue> values = measure(ellipse);
        assertThat(number(values, LesionDefinitions.SLICE_CIRCULARITY)).isCloseTo(0.90876, within(0.007));
        assertThat(number(values, LesionDefinitions.SLICE_CONVEXITY)).isCloseTo(1, within(0.004));
        assertThat(number(values, LesionDefinitions.SLICE_DIMENSION)).isCloseTo(1, within(0.05));
        double expected = bendingEnergy(50, 30, 0, 0);
        assertThat(number(values, LesionDefinitions.SLICE_BENDING)).isCloseTo(expected, within(0.2));

        Mask lobed = Solids.mask(
                Solids.grid(130, 130, 4, 0.75, 0.75, 5),
                (x, y, z) -> Math.hypot(x - 48.3, y - 48.6)
                        <= 40 * (1 + 0.1 * Math.cos(8 * Math.atan2(y - 48.6, x - 48.3))));
        values = measure(lobed);
        assertThat(number(values, LesionDefinitions.SLICE_CIRCULARITY)).isCloseTo(0.7667, within(0.01));
        // thinner than the smallest wave in the notches: up to a fifth is lost
        assertThat(number(values, LesionDefinitions.SLICE_BENDING) / bendingEnergy(40, 40, 0.1, 8))
                .isBetween(0.8, 1.05);
    }

    // P / 4π² ∮ κ² ds of an ellipse whose radius vector is stretched by 1 + e cos nt, by central differences.
    private static double bendingEnergy(double a, double b, double e, int n) {
        int steps = 20_000;
        double dt = 2 * Math.PI / steps;
        double length = 0;
        double energy = 0;
        for (int i = 0; i < steps; i++) {
            double[][] p = new double[3][];
            for (int k = -1; k <= 1; k++) {
                double t = (i + k) * dt;
                double s = 1 + e * Math.cos(n * t);
                p[k + 1] = new double[] {a * s * Math.cos(t), b * s * Math.sin(t)};
            }
            double x1 = (p[2][0] - p[0][0]) / (2 * dt);
            double y1 = (p[2][1] - p[0][1]) / (2 * dt);
            double x2 = (p[2][0] - 2 * p[1][0] + p[0][0]) / (dt * dt);
            double y2 = (p[2][1] - 2 * p[1][1] + p[0][1]) / (dt * dt);
            double speed = Math.hypot(x1, y1);
            length += speed * dt;
            energy += Math.pow(x1 * y2 - y1 * x2, 2) / Math.pow(speed, 5) * dt;
        }
        return length * energy / (4 * Math.PI * Math.PI);
    }

    // Oracle: all radii of a circle are alike, one bin of the hundred, 0 bit; pixels spread them over a few.
    @Test
    void radialEntropyOfACircleIsSmallAndOfAnEllipseLarge() {
        Mask circle =
                Solids.mask(Solids.grid(100, 100, 4, 0.75, 0.75, 5), (x, y, z) -> Math.hypot(x - 37, y - 37.2) <= 30);
        assertThat(number(measure(circle), LesionDefinitions.SLICE_RADIAL_ENTROPY))
                .isLessThan(1.2);
        Mask ellipse = Solids.mask(
                Solids.grid(100, 100, 4, 0.75, 0.75, 5), (x, y, z) -> Math.hypot((x - 37) / 1.6, y - 37.2) <= 20);
        assertThat(number(measure(ellipse), LesionDefinitions.SLICE_RADIAL_ENTROPY))
                .isBetween(4.0, Math.log(100) / Math.log(2));
    }

    // A horseshoe: rays from its centre cross one leg after the gap between the legs.
    @Test
    void aSurfaceThatFoldsBackFallsBackOnItsSmoothedShape() {
        Mask shoe = Solids.mask(Solids.grid(80, 80, 10, 1, 1, 5), (x, y, z) -> {
            double r = Math.hypot(x - 40, y - 40);
            return r > 16 && r < 32 && !(y > 40 && Math.abs(x - 40) < 12) && z > 8 && z < 38;
        });
        List<LesionValue> values = measure(shoe);
        LesionValue roughness = find(values, LesionDefinitions.MARGIN_ROUGHNESS);
        assertThat(roughness.value().measurement().number().orElseThrow()).isBetween(0.5, 6.0);
        assertThat(roughness.caution()).contains("folds back on itself").contains("smoothed shape instead");
        assertThat(find(values, LesionDefinitions.LOBULATION_COUNT)
                        .value()
                        .measurement()
                        .reason())
                .contains("folds back on itself");
    }

    // Oracle: a cube keeps its faces and loses its corners, whose share falls with the width: brute force is the ball,
    // whose smoothed shape is the ball itself. Tolerance: half a voxel.
    @Test
    void aBallIsItsOwnSmoothedShape() {
        Mask ball = Solids.mask(Solids.grid(60, 60, 60, 1, 1, 1), Solids.ball(29.7, 30.2, 29.9, 20));
        assertThat(SmoothedShape.roughness(ball, 4, Workers.SINGLE).number().orElseThrow())
                .isLessThan(0.5);
        Mask cube = Solids.mask(
                Solids.grid(60, 60, 60, 1, 1, 1),
                (x, y, z) -> Math.max(Math.abs(x - 30), Math.max(Math.abs(y - 30), Math.abs(z - 30))) <= 16);
        assertThat(SmoothedShape.roughness(cube, 4, Workers.SINGLE).number().orElseThrow())
                .isGreaterThan(0.7);
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        SplittableRandom random = new SplittableRandom(5);
        Mask mask = new StarSolid(22, 17, 19).rough(3, 9, 0.4, random).mask(1, 1, 4, 28, random);
        List<LesionValue> one = measure(mask);
        for (int threads : new int[] {2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(MarginShape.measure(mask, STANDARD, workers)).isEqualTo(one);
            }
    }

    // The fit stops when its steps are below 1e-5 of the first.
    @Test
    void aLargerGridAroundTheLesionChangesNothingThatCounts() {
        SplittableRandom random = new SplittableRandom(6);
        Mask mask = new StarSolid(22, 17, 19).rough(3, 9, 0.4, random).mask(1, 1, 4, 28, random);
        Mask moved = mask.crop(Box.of(mask.grid().size()).grow(7, 4, 2));
        List<LesionValue> here = measure(mask);
        List<LesionValue> there = measure(moved);
        for (int i = 0; i < here.size(); i++)
            assertThat(there.get(i).value().measurement().number().orElseThrow())
                    .isCloseTo(here.get(i).value().measurement().number().orElseThrow(), within(1e-4));
    }

    @Test
    void whatIsTooSmallIsNotMeasuredAndSaysWhy() {
        Mask empty = Solids.mask(Solids.grid(20, 20, 5, 1, 1, 5), (x, y, z) -> false);
        Mask voxel = Solids.mask(Solids.grid(20, 20, 5, 1, 1, 5), (x, y, z) -> x == 9 && y == 9 && z == 10);
        Mask slice = Solids.mask(Solids.grid(60, 60, 1, 1, 1, 5), (x, y, z) -> Math.hypot(x - 30, y - 30) < 20);
        for (Mask mask : List.of(empty, voxel, slice))
            assertThat(find(measure(mask), LesionDefinitions.MARGIN_ROUGHNESS)
                            .value()
                            .measurement()
                            .reason())
                    .contains("slices, 3 needed");
        assertThat(find(measure(empty), LesionDefinitions.SLICE_CIRCULARITY)
                        .value()
                        .measurement()
                        .reason())
                .contains("is empty");
        assertThat(number(measure(slice), LesionDefinitions.SLICE_CIRCULARITY)).isCloseTo(1, within(0.02));
        Mask border = Solids.mask(Solids.grid(30, 30, 8, 1, 1, 5), (x, y, z) -> true);
        assertThat(number(measure(border), LesionDefinitions.MARGIN_ROUGHNESS)).isGreaterThan(0.2);
    }

    @Test
    void everyValueHasItsPlaceInTheRegistry() {
        List<Definition> found = measure(new StarSolid(15, 12, 13).mask(1, 1, 3, 18, new SplittableRandom(1))).stream()
                .map(v -> v.value().definition())
                .distinct()
                .toList();
        assertThat(found.subList(0, 3)).isEqualTo(SurfaceSize.DEFINITIONS);
        assertThat(found.subList(3, found.size())).isEqualTo(LesionDefinitions.marginShape());
        assertThat(LesionDefinitions.all()).containsAll(found);
    }
}
