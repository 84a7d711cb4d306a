// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.lesion.LesionMeasurement;
import org.leiogauge.lesion.PlacedValue;
import org.leiogauge.stability.MethodError;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.stability.OutlineDraws;
import org.leiogauge.stability.Stability;
import org.leiogauge.stability.Stability.Steadiness;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** A lesion-level value with how steady it is; without where no draws were asked for or it was not measured. */
record SteadyValue(PlacedValue placed, Optional<Steadiness> steadiness) {

    /**
     * @param images the sources' as they are
     * @param masks the lesion on them
     * @param outline around the lesion, with room for the draws
     * @param errors of the ways of measuring
     */
    static List<SteadyValue> of(
            LesionSources sources,
            LesionImages images,
            LesionImages.Masks masks,
            Mask outline,
            MethodErrors errors,
            Settings settings,
            Workers workers,
            Progress progress) {
        List<PlacedValue> values = LesionMeasurement.measure(images, masks, settings.lesion(), workers);
        progress.at(0.1);
        Map<Key, Steadiness> steady = settings.stability().draws() == 0
                ? Map.of()
                : steadiness(values, sources, outline, errors, settings, workers, progress.part(0.1, 1));
        List<SteadyValue> all = new ArrayList<>();
        for (PlacedValue value : values)
            all.add(new SteadyValue(value, Optional.ofNullable(steady.get(Key.of(value)))));
        return List.copyOf(all);
    }

    private static Map<Key, Steadiness> steadiness(
            List<PlacedValue> values,
            LesionSources sources,
            Mask outline,
            MethodErrors errors,
            Settings settings,
            Workers workers,
            Progress progress) {
        OutlineDraws outlines = new OutlineDraws(outline, settings.stability().outline(), workers);
        Seed seed = new Seed(settings.stability().seed());
        Map<Key, MethodError> errorOf = new HashMap<>();
        double spread = adcSpread(values);
        for (PlacedValue value : values)
            errorOf.put(Key.of(value), errors.of(value.value().value()).in(spread));
        return Stability.of(
                keyed(values),
                errorOf::get,
                settings.stability(),
                number -> {
                    // three streams per draw: outline, images, what comes
                    Mask drawn = outlines.draw(seed, number);
                    Seed own = new Seed(new Seed(settings.stability().seed() + 1)
                            .draw(number)
                            .nextLong());
                    LesionDraw.Drawn lesion = LesionDraw.of(sources, drawn, own);
                    return keyed(LesionMeasurement.measure(
                            lesion.images(), lesion.masks(), settings.lesion(), Workers.SINGLE));
                },
                workers,
                progress);
    }

    // 90th less 10th percentile; 0 without an ADC, where nothing needs it.
    private static double adcSpread(List<PlacedValue> values) {
        double spread = 0;
        for (PlacedValue one : values) {
            FeatureValue value = one.value().value();
            double number = value.measurement().number().orElse(0);
            if (value.definition().feature().equals("adc p90")) spread += number;
            if (value.definition().feature().equals("adc p10")) spread -= number;
        }
        return spread;
    }

    private static Map<Key, Measurement> keyed(List<PlacedValue> values) {
        Map<Key, Measurement> keyed = new LinkedHashMap<>();
        for (PlacedValue value : values)
            keyed.put(Key.of(value), value.value().value().measurement());
        return keyed;
    }

    private record Key(String series, String feature, String aggregation) {
        static Key of(PlacedValue placed) {
            return new Key(
                    placed.series(),
                    placed.value().value().definition().feature(),
                    placed.value().value().aggregation().name());
        }
    }
}
