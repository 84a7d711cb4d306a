// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Accepted;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.outline.ReferenceRegion.Refused;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Definition;
import org.leiogauge.task.Workers;

/** T2 signal and T1 blood on a ball of 28 mm with parts of known volume, in 0.75 × 0.75 × 5 mm voxels. */
class SignalTest {
    private static final T2Signal.Settings T2 = T2Signal.Settings.standard();
    private static final T1Blood.Settings T1 = T1Blood.Settings.standard();
    private static final double RADIUS = 28;
    private static final Map<Tissue, Reference> ALL =
            Map.of(Tissue.MUSCLE, new Accepted(80, 3, 80), Tissue.MYOMETRIUM, new Accepted(270, 12, 80));

    private static final Grid GRID = StarSolid.grid(0.75, 0.75, 5, 32, new SplittableRandom(4));
    private static final Mask BALL = Solids.mask(GRID, Solids.ball(0, 0, 0, RADIUS));

    /** Signal at a place in mm from the ball's centre. */
    @FunctionalInterface
    private interface Signal {
        double at(double x, double y, double z);
    }

    // 3 × 3 × 5 points per voxel, so that voxels at borders are mixed
    private static Volume image(Signal signal, double noise, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] v = new float[GRID.size().voxels()];
        int at = 0;
        for (int z = 0; z < GRID.size().z(); z++)
            for (int y = 0; y < GRID.size().y(); y++)
                for (int x = 0; x < GRID.size().x(); x++) {
                    double sum = 0;
                    for (int k = -2; k <= 2; k++)
                        for (int j = -1; j <= 1; j++)
                            for (int i = -1; i <= 1; i++) {
                                var p = GRID.point(x + i / 3.0, y + j / 3.0, z + k / 5.0);
                                sum += signal.at(p.x(), p.y(), p.z());
                            }
                    v[at++] = (float) (sum / 45 + noise * Solids.normal(random));
                }
        return new Volume(GRID, v);
    }

    private static double length(double x, double y, double z) {
        return Math.sqrt(x * x + y * y + z * z);
    }

    private static List<LesionValue> t2(Volume image, Map<Tissue, Reference> references) {
        return T2Signal.measure(image, BALL, references, T2, Workers.SINGLE);
    }

    private static List<LesionValue> t1(Volume image, Map<Tissue, Reference> references) {
        return t1(image, true, Optional.empty(), BALL, references);
    }

    private static List<LesionValue> t1(
            Volume image, boolean fatSuppressed, Optional<Volume> t2, Mask lesion, Map<Tissue, Reference> references) {
        Optional<BrightPart> bright = T1Blood.brightPart(image, lesion, references, T1);
        return T1Blood.measure(image, fatSuppressed, t2, lesion, references, bright, T1, Workers.SINGLE);
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

    // Oracle: a flat lesion of 100: 100 / 80, 100 / 270, no spread; 100 is above 1.2 × 80 and below 270: intermediate.
    @Test
    void ratiosAndClassOfAFlatLesionAreThoseOfItsSignal() {
        List<LesionValue> values = t2(image((x, y, z) -> 100, 0, 1), ALL);
        assertThat(number(values, LesionDefinitions.T2_TO_MUSCLE)).isCloseTo(1.25, within(1e-6));
        assertThat(number(values, LesionDefinitions.T2_TO_MYOMETRIUM)).isCloseTo(100 / 270.0, within(1e-6));
        assertThat(number(values, LesionDefinitions.T2_CLASS)).isEqualTo(2);
        assertThat(number(values, LesionDefinitions.T2_QUARTILE_RANGE)).isZero();
        assertThat(number(values, LesionDefinitions.T2_BRIGHT_FRACTION)).isZero();
        assertThat(number(values, LesionDefinitions.T2_DARK_FRACTION)).isZero();
        assertThat(T2Signal.signalClass(image((x, y, z) -> 95, 0, 1), BALL, ALL, T2))
                .contains(T2Signal.SignalClass.LOW);
        assertThat(T2Signal.signalClass(image((x, y, z) -> 271, 0, 1), BALL, ALL, T2))
                .contains(T2Signal.SignalClass.HIGH);
    }

    // Oracle: noise alone: quartiles of the normal curve lie 1.349 standard deviations apart.
    @Test
    void theQuartileRangeOfNoiseIsThatOfTheNormalCurve() {
        List<LesionValue> values = t2(image((x, y, z) -> 200, 10, 1), ALL);
        assertThat(number(values, LesionDefinitions.T2_QUARTILE_RANGE)).isCloseTo(1.349 * 10 / 200, within(0.003));
    }

    // Oracle: closed forms of the pockets' volumes over the ball's: two balls of 9 and 11 mm; a dark half.
    @Test
    void brightFluidAndDarkPartsHaveTheirTrueShare() {
        Signal pockets = (x, y, z) -> length(x - 9, y + 5, z + 6) < 9 || length(x + 10, y, z - 8) < 11 ? 690 : 95;
        double truth = (Math.pow(9, 3) + Math.pow(11, 3)) / Math.pow(RADIUS, 3);
        List<LesionValue> values = t2(image(pockets, 270 / 45.0, 3), ALL);
        assertThat(number(values, LesionDefinitions.T2_BRIGHT_FRACTION)).isCloseTo(truth, within(0.005));
        assertThat(number(values, LesionDefinitions.T2_FLUID_FRACTION)).isCloseTo(truth, within(0.01));
        assertThat(find(values, LesionDefinitions.T2_FLUID_FRACTION).caution()).contains("without urine");
        // sharp pockets, blurred by nothing but the voxel
        assertThat(number(values, LesionDefinitions.T2_BRIGHT_BORDER)).isLessThan(1);
        Signal half = (x, y, z) -> x < 0 ? 75 : 160;
        assertThat(number(t2(image(half, 3, 3), ALL), LesionDefinitions.T2_DARK_FRACTION))
                .isCloseTo(0.5, within(0.02));
    }

    // Oracle: as above; myxoid-like, 2.1 times the myometrium, is bright and below the urine's 620, so not fluid.
    @Test
    void urineTellsFluidFromWhatIsOnlyBright() {
        Map<Tissue, Reference> references = new HashMap<>(ALL);
        references.put(Tissue.URINE, new Accepted(620, 8, 60));
        List<LesionValue> values = t2(image((x, y, z) -> length(x, y, z - 4) < 16 ? 570 : 95, 6, 5), references);
        assertThat(number(values, LesionDefinitions.T2_BRIGHT_FRACTION))
                .isCloseTo(Math.pow(16 / RADIUS, 3), within(0.01));
        assertThat(number(values, LesionDefinitions.T2_FLUID_FRACTION)).isZero();
    }

    @Test
    void whatNeedsAMissingOrRefusedReferenceIsNotMeasuredAndSaysWhy() {
        Volume image = image((x, y, z) -> 100, 3, 1);
        List<LesionValue> values = t2(image, Map.of(Tissue.MUSCLE, new Refused("too noisy")));
        assertThat(find(values, LesionDefinitions.T2_TO_MUSCLE)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("the muscle reference region is refused: too noisy");
        assertThat(find(values, LesionDefinitions.T2_CLASS)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("the muscle reference region is refused: too noisy");
        assertThat(find(values, LesionDefinitions.T2_TO_MYOMETRIUM)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no myometrium reference region is given");
        assertThat(find(values, LesionDefinitions.T2_BRIGHT_FRACTION)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no myometrium reference region is given");
        assertThat(find(values, LesionDefinitions.T2_FLUID_FRACTION)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no urine reference region is given");
        List<LesionValue> blood = t1(image, Map.of());
        for (LesionValue value : blood)
            assertThat(value.value().measurement().reason()).startsWith("no m").endsWith("reference region is given");
    }

    // Oracle: closed form: a shell from 0.888 R on is 30 % of a ball; of the outer shell from 0.75 R on, 57.8 % of the
    // ball, it fills 0.3 / 0.578 = 0.519. Blood 2.4 times, tissue 1.1 times the myometrium. Tolerance: 5 mm slices.
    @Test
    void aRimOfBloodHasItsShareAndItsIndex() {
        Signal rim = (x, y, z) -> {
            double q = length(x, y, z) / RADIUS;
            return q > 1 ? 100 : q > Math.cbrt(0.7) ? 240 : 112;
        };
        List<LesionValue> values = t1(image(rim, 100 / 45.0, 1), references(100, 2.5));
        // the outermost voxels are mixed with what lies outside
        assertThat(number(values, LesionDefinitions.T1_BRIGHT_FRACTION)).isCloseTo(0.3, within(0.03));
        assertThat(number(values, LesionDefinitions.T1_RIM_INDEX)).isCloseTo(0.519, within(0.06));
        assertThat(number(values, LesionDefinitions.T1_PATTERN)).isEqualTo(T1Blood.Pattern.RIM.number());
    }

    // Oracle: closed form, three pockets of 7, 8 and 9 mm.
    @Test
    void pocketsOfBloodHaveTheirShareAndAreCounted() {
        Signal pockets = (x, y, z) ->
                length(x - 12, y, z) < 7 || length(x + 9, y - 8, z - 5) < 8 || length(x, y + 11, z + 8) < 9 ? 240 : 112;
        double truth = (Math.pow(7, 3) + Math.pow(8, 3) + Math.pow(9, 3)) / Math.pow(RADIUS, 3);
        List<LesionValue> values = t1(image(pockets, 100 / 45.0, 2), references(100, 2.5));
        assertThat(number(values, LesionDefinitions.T1_BRIGHT_FRACTION)).isCloseTo(truth, within(0.005));
        assertThat(number(values, LesionDefinitions.T1_BRIGHT_PIECES)).isEqualTo(3);
        assertThat(number(values, LesionDefinitions.T1_LARGEST_PIECE))
                .isCloseTo(729 / (343 + 512 + 729.0), within(0.03));
        assertThat(number(values, LesionDefinitions.T1_PATTERN)).isEqualTo(T1Blood.Pattern.PATCHES.number());
        assertThat(number(values, LesionDefinitions.T1_RIM_INDEX)).isLessThan(0);
    }

    // Oracle: nothing bright was made; noise of a third of the step must not count.
    @Test
    void noiseIsNotBlood() {
        List<LesionValue> values = t1(image((x, y, z) -> 112, 15, 2), references(100, 15));
        assertThat(number(values, LesionDefinitions.T1_BRIGHT_FRACTION)).isZero();
        assertThat(number(values, LesionDefinitions.T1_PATTERN)).isZero();
        assertThat(find(values, LesionDefinitions.T1_LARGEST_PIECE)
                        .value()
                        .measurement()
                        .reason())
                .isEqualTo("no part of the lesion is bright");
    }

    // Oracle: the two signals on T2: 60 in the blood, 120 in the rest, 0.5; mixed voxels at the border of the parts.
    @Test
    void theDropOnT2IsThatOfTheSignals() {
        Signal pocket = (x, y, z) -> length(x, y, z) < 15 ? 240 : 112;
        Volume onT2 = image((x, y, z) -> length(x, y, z) < 15 ? 60 : 120, 2, 8);
        List<LesionValue> values = t1(image(pocket, 2, 2), false, Optional.of(onT2), BALL, references(100, 2.5));
        assertThat(number(values, LesionDefinitions.T1_ON_T2)).isCloseTo(0.5, within(0.02));
        assertThat(number(values, LesionDefinitions.T1_PATTERN)).isEqualTo(T1Blood.Pattern.ONE_POCKET.number());
        assertThat(find(values, LesionDefinitions.T1_BRIGHT_FRACTION).caution()).contains("without fat suppression");
    }

    @Test
    void withoutMyometriumMuscleJudgesAndIsNamed() {
        Signal pocket = (x, y, z) -> length(x, y, z) < 15 ? 240 : 112;
        List<LesionValue> values = t1(image(pocket, 2, 2), Map.of(Tissue.MUSCLE, new Accepted(128, 3, 60)));
        assertThat(number(values, LesionDefinitions.T1_BRIGHT_FRACTION))
                .isCloseTo(Math.pow(15 / RADIUS, 3), within(0.005));
        assertThat(find(values, LesionDefinitions.T1_BRIGHT_FRACTION).caution()).startsWith("judged by the muscle");
    }

    @Test
    void voxelsWithoutAValueAreLeftOutAndAnEmptyLesionSaysSo() {
        Volume image = image((x, y, z) -> x < 0 ? Double.NaN : 100, 0, 1);
        assertThat(number(t2(image, ALL), LesionDefinitions.T2_TO_MUSCLE)).isCloseTo(1.25, within(1e-6));
        Mask none = new Mask(GRID, new byte[GRID.size().voxels()]);
        for (LesionValue value : T2Signal.measure(image, none, ALL, T2, Workers.SINGLE))
            assertThat(value.value().measurement().reason()).startsWith("the lesion holds no voxel");
        for (LesionValue value : t1(image, true, Optional.of(image), none, ALL))
            assertThat(value.value().measurement().reason()).startsWith("the lesion holds no voxel");
    }

    @Test
    void aFewVoxelsCarryACaution() {
        Mask small = Solids.mask(GRID, Solids.ball(0, 0, 0, 3));
        List<LesionValue> values = T2Signal.measure(image((x, y, z) -> 100, 0, 1), small, ALL, T2, Workers.SINGLE);
        assertThat(find(values, LesionDefinitions.T2_TO_MUSCLE).caution()).matches("only \\d+ voxels");
    }

    // Oracle: what depends on ratios alone does not know the gain.
    @Test
    void theGainChangesNothing() {
        Signal pocket = (x, y, z) -> length(x, y, z) < 15 ? 240 : 112;
        Volume image = image(pocket, 2, 2);
        float[] louder = new float[image.voxels().length];
        for (int i = 0; i < louder.length; i++) louder[i] = 4 * image.voxels()[i];
        assertThat(t1(new Volume(GRID, louder), references(400, 10))).isEqualTo(t1(image, references(100, 2.5)));
    }

    @Test
    void everyValueHasItsPlaceInTheRegistry() {
        Volume image = image((x, y, z) -> 100, 2, 1);
        assertThat(t2(image, ALL).stream().map(v -> v.value().definition()).toList())
                .isEqualTo(LesionDefinitions.t2Signal());
        assertThat(t1(image, ALL).stream().map(v -> v.value().definition()).toList())
                .isEqualTo(LesionDefinitions.t1());
        assertThat(LesionDefinitions.all().stream().map(Definition::feature).toList())
                .doesNotHaveDuplicates();
        assertThat(LesionDefinitions.all())
                .allSatisfy(d -> assertThat(d.meaning()).endsWith("."));
        assertThat(LesionDefinitions.all())
                .allSatisfy(d -> assertThat(d.source()).isNotBlank());
    }

    private static Map<Tissue, Reference> references(double myometrium, double spread) {
        return Map.of(
                Tissue.MYOMETRIUM,
                new Accepted(myometrium, spread, 80),
                Tissue.MUSCLE,
                new Accepted(1.28 * myometrium, spread, 80));
    }

    // Oracle: by hand: one voxel, of the 100 that the settings want.
    @Test
    void everyT2ValueOfASingleVoxelSaysSo() {
        byte[] inside = new byte[GRID.size().voxels()];
        inside[inside.length / 2] = 1;
        Mask one = new Mask(GRID, inside);
        List<PlacedValue> values = LesionMeasurement.measure(
                new LesionImages(
                        Optional.of(new LesionImages.T2(image((x, y, z) -> 200, 5, 1), ALL)),
                        Optional.empty(),
                        Optional.empty(),
                        Optional.empty()),
                new LesionImages.Masks(one, Optional.of(one), Optional.empty(), Optional.empty(), Optional.empty()),
                LesionSettings.standard(),
                Workers.SINGLE);
        List<LesionValue> t2 = values.stream()
                .map(PlacedValue::value)
                .filter(v -> LesionDefinitions.t2().contains(v.value().definition())
                        && v.value().measurement().number().isPresent())
                .toList();
        assertThat(t2)
                .extracting(v -> v.value().definition())
                .contains(LesionDefinitions.T2_VARIATION, LesionDefinitions.T2_ENTROPY);
        assertThat(t2).extracting(LesionValue::caution).containsOnly("only 1 voxels");
    }
}
