// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.phantom.LesionSettings.Place;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The true values against images rendered without noise, coil bias and movement: two ways through the same physics. */
class TruthAgreesWithImagesTest {
    private static final LesionSettings MASS = new LesionSettings(
            "L1",
            new Point(16, -6, 20),
            new Vector(30, 27, 28),
            0,
            Tissue.CELLULAR,
            Map.of(),
            Bumps.NONE,
            Bumps.NONE,
            0,
            List.of(new Compartment(Tissue.NECROTIC, Place.CORE, 0.25, 5, 1)));
    private static final PhantomSettings SETTINGS = Preset.DEMO
            .settings()
            .withLesions(List.of(MASS))
            .with(
                    ScannerSettings.ideal(),
                    List.of(
                            fine(SeriesSettings.Kind.T2, 4200, 100, 90, List.of(), List.of()),
                            fine(SeriesSettings.Kind.DWI, 5200, 72, 90, List.of(0.0, 1000.0), List.of()),
                            fine(SeriesSettings.Kind.DYNAMIC, 4.5, 1.9, 12, List.of(), List.of(30.0, 60.0, 180.0))));

    // So fine that few voxels lie across the border.
    private static SeriesSettings fine(
            SeriesSettings.Kind kind, double tr, double te, double flip, List<Double> bs, List<Double> phases) {
        return new SeriesSettings(
                        kind,
                        null,
                        72,
                        72,
                        72,
                        1,
                        1,
                        null,
                        MASS.centre(),
                        tr,
                        te,
                        flip,
                        false,
                        50,
                        null,
                        null,
                        bs,
                        phases)
                .ideal();
    }

    private static Anatomy anatomy;
    private static Lesion lesion;
    private static List<TruthRow> rows;

    @BeforeAll
    static void makeTheTruth() {
        anatomy = Anatomy.of(SETTINGS, Workers.SINGLE);
        lesion = anatomy.lesions().get(0);
        Textures textures = Textures.of(SETTINGS);
        SampledTissue sampled = SampledTissue.of(lesion, textures, SETTINGS, Workers.SINGLE);
        rows = new ArrayList<>(SignalTruth.of(SETTINGS, sampled, Map.of(), Workers.SINGLE));
        rows.addAll(AdcTruth.of(sampled, new PointLattice(lesion), Workers.SINGLE));
    }

    private static List<Volume> images(SeriesSettings.Kind kind) {
        int number = 0;
        while (SETTINGS.series().get(number).kind() != kind) number++;
        return StudyImages.render(SETTINGS, anatomy, number, Workers.SINGLE, Progress.NONE)
                .images();
    }

    // Values of the voxels whose centres lie in the lesion.
    private static double[] inside(Volume volume) {
        Grid grid = volume.grid();
        byte[] mask = TissueMasks.of(lesion, grid, Movement.of(SETTINGS.t2()), Workers.SINGLE)
                .lesion()
                .voxels();
        double[] values = new double[mask.length];
        int count = 0;
        for (int i = 0; i < mask.length; i++) if (mask[i] != 0) values[count++] = volume.voxels()[i];
        return Arrays.copyOf(values, count);
    }

    private static double mean(Volume volume) {
        return Arrays.stream(inside(volume)).average().orElseThrow();
    }

    @Test
    void relativeEnhancementIsThatOfTheImages() {
        List<Volume> images = images(SeriesSettings.Kind.DYNAMIC);
        double before = mean(images.get(0));
        List<Double> seconds = SETTINGS.series().stream()
                .filter(s -> s.kind() == SeriesSettings.Kind.DYNAMIC)
                .findFirst()
                .orElseThrow()
                .phaseSeconds();
        for (int i = 0; i < seconds.size(); i++) {
            double truth = PlainScene.value(
                    rows, "relative enhancement", seconds.get(i).intValue() + " s");
            // Oracle: the rendered images; some 6 % of the voxels lie across the border: 2 points.
            assertThat(100 * (mean(images.get(i + 1)) / before - 1)).isCloseTo(truth, within(2.0));
        }
    }

    @Test
    void adcIsThatOfTheImages() {
        List<Volume> images = images(SeriesSettings.Kind.DWI);
        double[] none = inside(images.get(0));
        double[] most = inside(images.get(images.size() - 1));
        double[] adc = new double[none.length];
        for (int i = 0; i < adc.length; i++) adc[i] = Math.log(none[i] / most[i]);
        Arrays.sort(adc);
        // Oracle: -ln(S₁₀₀₀ / S₀) of the rendered images at b 1000 s/mm²; voxels at the border and texture averaged
        // within a
        // voxel move it by up to 0.05.
        assertThat(Arrays.stream(adc).average().orElseThrow())
                .isCloseTo(PlainScene.value(rows, "adc mean"), within(0.02));
        assertThat(adc[adc.length / 2]).isCloseTo(PlainScene.value(rows, "adc p50"), within(0.01));
        assertThat(adc[adc.length / 10]).isCloseTo(PlainScene.value(rows, "adc p10"), within(0.01));
    }

    @Test
    void t2SpreadIsThatOfTheImages() {
        double[] values = inside(images(SeriesSettings.Kind.T2).get(0));
        double mean = Arrays.stream(values).average().orElseThrow();
        double square = Arrays.stream(values)
                .map(v -> (v - mean) * (v - mean))
                .average()
                .orElseThrow();
        // Oracle: the rendered image; border voxels: 3 %.
        double truth = PlainScene.value(rows, "t2 coefficient of variation");
        assertThat(Math.sqrt(square) / mean).isCloseTo(truth, within(0.03 * truth));
    }
}
