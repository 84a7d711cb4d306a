// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Map;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.MarginSharpness.Border;
import org.leiogauge.lesion.MarginSharpness.Place;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.task.Workers;

class MarginSharpnessTest {
    private static final MarginSharpness.Settings STANDARD = MarginSharpness.Settings.standard();
    private static final Map<Tissue, Reference> MYOMETRIUM = Map.of(Tissue.MYOMETRIUM, new Accepted(270, 10, 50));

    private static double number(List<LesionValue> values, Definition definition) {
        return find(values, definition).value().measurement().number().orElseThrow();
    }

    private static LesionValue find(List<LesionValue> values, Definition definition) {
        return values.stream()
                .filter(v -> v.value().definition().equals(definition))
                .findFirst()
                .orElseThrow();
    }

    /** An ellipsoid whose share rises along its normal as a logistic curve, averaged over each voxel. */
    private record Scene(Grid grid, double widthMm, double insideSignal, double fatMm, double[] axes) {
        // First order near the surface, as exact as the widths asked for need.
        double depth(double x, double y, double z) {
            double a = x / axes[0];
            double b = y / axes[1];
            double c = z / axes[2];
            double q = Math.sqrt(a * a + b * b + c * c);
            double gradient = Math.sqrt(Math.pow(a / axes[0], 2) + Math.pow(b / axes[1], 2) + Math.pow(c / axes[2], 2));
            return q == 0 ? 30 : (1 - q) * q / gradient;
        }

        Mask mask() {
            return Solids.mask(grid, (x, y, z) -> depth(x, y, z) >= 0);
        }

        double signal(double x, double y, double z) {
            double share = 1 / (1 + Math.exp(-depth(x, y, z) * 2 * Math.log(9) / widthMm));
            // on one side a second structure begins behind the myometrium
            double outside = depth(x, y, z) < -fatMm && x > 0 ? 400 : 270;
            return share * insideSignal + (1 - share) * outside;
        }

        // 3 × 3 × 5 points per voxel
        Volume image(double noise, long seed) {
            SplittableRandom random = new SplittableRandom(seed);
            float[] v = new float[grid.size().voxels()];
            int at = 0;
            for (int z = 0; z < grid.size().z(); z++)
                for (int y = 0; y < grid.size().y(); y++)
                    for (int x = 0; x < grid.size().x(); x++) {
                        double sum = 0;
                        for (int k = -2; k <= 2; k++)
                            for (int j = -1; j <= 1; j++)
                                for (int i = -1; i <= 1; i++) {
                                    var p = grid.point(x + i / 3.0, y + j / 3.0, z + k / 5.0);
                                    sum += signal(p.x(), p.y(), p.z());
                                }
                        v[at++] = (float) (sum / 45 + noise * Solids.normal(random));
                    }
            return new Volume(grid, v);
        }
    }

    private static Scene scene(double width, double pixel, double inside, double fatMm) {
        Grid grid = StarSolid.grid(pixel, pixel, 5, 42, new SplittableRandom(Math.round(10 * width)));
        return new Scene(grid, width, inside, fatMm, new double[] {29, 25, 27});
    }

    private static List<LesionValue> measure(Scene scene, double noise) {
        return MarginSharpness.measure(scene.image(noise, 7), scene.mask(), MYOMETRIUM, STANDARD, Workers.SINGLE);
    }

    // Oracle: the width that the edge was made with. Tolerance: the project's own promise, 0.5 mm for 1 to 6 mm.
    @Test
    void widthsOfOneToSixMillimetresAreFoundToHalfAMillimetreAtDemoNoise() {
        for (double pixel : new double[] {0.75, 1.36})
            for (double width : new double[] {1, 2, 3, 4, 5, 6})
                assertThat(number(measure(scene(width, pixel, 91, 9), 270 / 45.0), LesionDefinitions.MARGIN_SHARPNESS))
                        .as(pixel + " mm voxels, " + width + " mm")
                        .isCloseTo(width, within(0.5));
    }

    // Oracle: as above. Behind 5 mm of myometrium fat begins on one side.
    @Test
    void anotherTissueNearbyDoesNotWidenTheBorder() {
        for (double width : new double[] {1, 3, 4})
            assertThat(number(measure(scene(width, 0.75, 91, 5), 270 / 45.0), LesionDefinitions.MARGIN_SHARPNESS))
                    .as(width + " mm")
                    .isCloseTo(width, within(0.5));
    }

    // Oracle: the widths that the edges were made with, against the settings' 3 mm.
    @Test
    void illDefinedIsWhatIsWiderThanTheSettingsSay() {
        assertThat(number(measure(scene(1.5, 0.75, 91, 9), 6), LesionDefinitions.ILL_DEFINED))
                .isLessThan(0.05);
        assertThat(number(measure(scene(4.5, 0.75, 91, 9), 6), LesionDefinitions.ILL_DEFINED))
                .isGreaterThan(0.95);
    }

    // Oracle: no step was made: inside as outside.
    @Test
    void withoutAStepTheBorderIsIllDefined() {
        List<LesionValue> values = measure(scene(2, 1.36, 270, 99), 6);
        assertThat(number(values, LesionDefinitions.ILL_DEFINED)).isGreaterThan(0.8);
    }

    @Test
    void aWidthBelowTheVoxelsBlurIsSaidToBe() {
        LesionValue value = find(measure(scene(0.2, 1.36, 91, 9), 6), LesionDefinitions.MARGIN_SHARPNESS);
        assertThat(value.value().measurement().number().orElseThrow()).isLessThan(1);
        assertThat(value.caution()).startsWith("narrower than the blur of the voxels");
    }

    // Oracle: the scene's halves: fat touches the lesion's surface from 0 mm on where x > 0.
    @Test
    void myometriumAndOtherTissueAreToldApart() {
        Scene scene = scene(2, 0.75, 91, -1);
        List<Place> map = MarginSharpness.map(scene.image(6, 7), scene.mask(), MYOMETRIUM, STANDARD, Workers.SINGLE);
        long right = map.stream()
                .filter(p -> Math.abs(p.point().x()) > 6)
                .filter(p -> p.border() == (p.point().x() > 0 ? Border.OTHER_TISSUE : Border.MYOMETRIUM))
                .count();
        long asked = map.stream().filter(p -> Math.abs(p.point().x()) > 6).count();
        assertThat((double) right / asked).isGreaterThan(0.97);
        List<LesionValue> values = measure(scene, 6);
        assertThat(number(values, LesionDefinitions.SHARPNESS_MYOMETRIUM)).isCloseTo(2, within(0.5));
        assertThat(number(values, LesionDefinitions.SHARPNESS_OTHER)).isCloseTo(2, within(0.5));
    }

    @Test
    void withoutAReferenceTheBordersAreNotToldApart() {
        Scene scene = scene(2, 1.36, 91, 9);
        List<LesionValue> none =
                MarginSharpness.measure(scene.image(6, 7), scene.mask(), Map.of(), STANDARD, Workers.SINGLE);
        assertThat(find(none, LesionDefinitions.SHARPNESS_MYOMETRIUM)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no myometrium reference region is given");
        assertThat(number(none, LesionDefinitions.MARGIN_SHARPNESS)).isCloseTo(2, within(0.5));
        List<LesionValue> refused = MarginSharpness.measure(
                scene.image(6, 7),
                scene.mask(),
                Map.of(Tissue.MYOMETRIUM, new Refused("too noisy")),
                STANDARD,
                Workers.SINGLE);
        assertThat(find(refused, LesionDefinitions.SHARPNESS_OTHER)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("the myometrium reference region is refused: too noisy");
    }

    // Oracle: a width does not know the image's gain and offset.
    @Test
    void gainAndOffsetChangeNothing() {
        Scene scene = scene(3, 1.36, 91, 9);
        Volume image = scene.image(6, 7);
        float[] other = new float[image.voxels().length];
        for (int i = 0; i < other.length; i++) other[i] = 40 - 0.5f * image.voxels()[i];
        List<LesionValue> changed = MarginSharpness.measure(
                new Volume(image.grid(), other), scene.mask(), Map.of(), STANDARD, Workers.SINGLE);
        assertThat(number(changed, LesionDefinitions.MARGIN_SHARPNESS))
                .isCloseTo(number(measure(scene, 6), LesionDefinitions.MARGIN_SHARPNESS), within(0.01));
    }

    @Test
    void theNumberOfThreadsChangesNothing() {
        Scene scene = scene(3, 1.36, 91, 9);
        List<LesionValue> one = measure(scene, 6);
        for (int threads : new int[] {2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(MarginSharpness.measure(scene.image(6, 7), scene.mask(), MYOMETRIUM, STANDARD, workers))
                        .isEqualTo(one);
            }
    }

    @Test
    void aFlatOrEmptyLesionIsNotMeasuredAndSaysWhy() {
        Grid grid = Solids.grid(30, 30, 5, 1, 1, 5);
        Volume flat = new Volume(grid, new float[grid.size().voxels()]);
        Mask ball = Solids.mask(grid, Solids.ball(15, 15, 10, 9));
        List<LesionValue> values = MarginSharpness.measure(flat, ball, MYOMETRIUM, STANDARD, Workers.SINGLE);
        assertThat(find(values, LesionDefinitions.MARGIN_SHARPNESS)
                        .value()
                        .measurement()
                        .reason())
                .startsWith("a step stands out of the noise at 0 places only");
        assertThat(number(values, LesionDefinitions.ILL_DEFINED)).isEqualTo(1);
        Mask empty = new Mask(grid, new byte[grid.size().voxels()]);
        assertThat(find(
                                MarginSharpness.measure(flat, empty, MYOMETRIUM, STANDARD, Workers.SINGLE),
                                LesionDefinitions.ILL_DEFINED)
                        .value()
                        .measurement()
                        .reason())
                .startsWith("only 0 places of the border");
    }

    @Test
    void aMaskOfAnotherSizeIsTheCallersMistake() {
        Grid grid = Solids.grid(30, 30, 5, 1, 1, 5);
        Volume flat = new Volume(grid, new float[grid.size().voxels()]);
        Mask other = Solids.mask(Solids.grid(10, 10, 5, 1, 1, 5), (x, y, z) -> true);
        assertThatThrownBy(() -> MarginSharpness.measure(flat, other, Map.of(), STANDARD, Workers.SINGLE))
                .isInstanceOf(IllegalArgumentException.class)
                .hasMessage("lesion must have the image's size 30 × 30 × 5, got 10 × 10 × 5");
    }

    @Test
    void everyValueHasItsPlaceInTheRegistry() {
        assertThat(measure(scene(2, 1.36, 91, 9), 6).stream()
                        .map(v -> v.value().definition())
                        .toList())
                .isEqualTo(LesionDefinitions.marginSharpness());
    }
}
