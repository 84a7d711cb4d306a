// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.lesion.LesionDiffusion;
import org.leiogauge.lesion.LesionValue;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.signal.AdcUnit;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

// Oracle: water at 0 °C, 1.10 · 10⁻³ mm²/s (Holz et al. 2000, doi:10.1039/b005319h), in the tube of the synthetic
// study.
class IceWaterTest {
    private static final double ICE_WATER = 1.10;

    @Test
    void aTubeOfIceWaterHasItsAdcThroughNoiseCoilAndDistortion() throws InputException {
        PhantomSettings settings = Preset.ICE_WATER.settings();
        int number = IntStream.range(0, settings.series().size())
                .filter(i -> settings.series().get(i).kind() == Kind.DWI)
                .findFirst()
                .orElseThrow();
        Anatomy anatomy = Anatomy.of(settings, Workers.SINGLE);
        SeriesImages images = StudyImages.render(settings, anatomy, number, Workers.SINGLE, Progress.NONE);
        List<Double> b = settings.series().get(number).bValues();
        List<AdcFit.Weighted> series = IntStream.range(0, b.size())
                .mapToObj(i -> new AdcFit.Weighted(b.get(i), images.images().get(i)))
                .toList();
        Mask tube = inner(anatomy.lesions().get(0), images);
        Volume adc =
                AdcFit.fit(series, AdcFit.Settings.standard(), Workers.SINGLE).adc();
        Mask none = new Mask(tube.grid(), new byte[tube.voxels().length]);
        List<LesionValue> values = LesionDiffusion.measure(
                adc,
                Optional.empty(),
                Optional.empty(),
                tube,
                none,
                new Measurement.NotMeasured("no T2 here"),
                LesionDiffusion.Settings.standard());
        // Whole stored values and the noise of some hundred voxels leave 1 %.
        assertThat(mean(values)).isCloseTo(ICE_WATER, within(0.01));
        Volume scanner = ScannerAdc.of(images, settings.scanner(), Workers.SINGLE);
        AdcUnit.Found unit = AdcUnit.find("the scanner's map", scanner, tube, Optional.empty());
        assertThat(unit.unit()).isEqualTo(AdcUnit.TEN_TO_MINUS_6);
    }

    private static double mean(List<LesionValue> values) {
        return values.stream()
                .filter(v -> v.value().definition().equals(LesionDefinitions.ADC_MEAN))
                .findFirst()
                .orElseThrow()
                .value()
                .measurement()
                .number()
                .orElseThrow();
    }

    // Voxels wholly in the tube, for the distortion as well.
    private static Mask inner(Lesion lesion, SeriesImages images) {
        Mask whole = TissueMasks.of(lesion, images.grid(), Movement.of(images.settings()), Workers.SINGLE)
                .lesion();
        float[] distance = DistanceTransform.signed(whole, Workers.SINGLE).voxels();
        byte[] inside = new byte[distance.length];
        for (int i = 0; i < inside.length; i++) inside[i] = (byte) (distance[i] < -6 ? 1 : 0);
        return new Mask(images.grid(), inside);
    }
}
