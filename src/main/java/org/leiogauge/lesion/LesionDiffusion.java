// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceRegion.Reference;
import org.leiogauge.study.Tissue;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;

/**
 * How water moves in the lesion: the distribution of the ADC, its lowest region, the share under a cut-off, and the signal
 * at the highest b-value against reference tissues.
 *
 * <p>The distribution is that of {@link AdcSample}: without what noise adds to its width, and without voxels at the border,
 * unless the settings leave that out.
 *
 * <p>ADC in 10⁻³ mm²/s. Percentiles interpolate linearly between order statistics (type 7 of Hyndman and Fan 1996,
 * doi:10.1080/00031305.1996.10473566); moments are those of the population. A bright lesion at the highest b-value may be so
 * by its T2 alone (shine-through), and a dark one may have a low ADC only because its signal is at the noise floor
 * (blackout): both are named, and marked on the values that they concern.
 */
public final class LesionDiffusion {
    private static final double FLOOR = 3;
    private static final double FEW = 0.05;
    private static final String BELOW_NOISE =
            "%.0f %% of the lesion is under %.0f noise standard deviations at b = %.0f s/mm2: the ADC is poorly known there";
    private static final List<Tissue> REFERENCES = List.of(Tissue.ENDOMETRIUM, Tissue.MUSCLE, Tissue.URINE);

    private LesionDiffusion() {}

    /**
     * @param restricted ADC under which diffusion counts as restricted, in 10⁻³ mm²/s
     * @param ballRadiusMm of the lowest region
     * @param bright ratio to endometrium at the highest b-value from which on the lesion counts as bright
     * @param darkT2 T2 signal ratio to muscle up to which the lesion counts as dark
     * @param withoutNoise takes off what noise adds to the width of the distribution, and to the depth of its lowest region
     * @param withoutBorder lets voxels at the border, which hold other tissue, take the ADC of those inside them
     */
    public record Settings(
            double restricted,
            double ballRadiusMm,
            double bright,
            double darkT2,
            boolean withoutNoise,
            boolean withoutBorder) {
        public Settings {
            if (!(restricted > 0 && ballRadiusMm > 0 && bright > 0 && darkT2 > 0))
                throw new IllegalArgumentException("all settings must be > 0, got " + restricted + ", " + ballRadiusMm
                        + ", " + bright + ", " + darkT2);
        }

        /**
         * Restricted: Abdel Wahab et al., Radiology 2020;297:361; bright: Hindman et al., Radiology 2023;306:e211658; the
         * rest common practice, no source.
         */
        public static Settings standard() {
            return new Settings(0.905, 5, 1, 1.5, true, true);
        }
    }

    /**
     * The image at the highest b-value, aligned with the ADC map.
     *
     * @param bValue in s/mm²
     * @param noise its noise standard deviation in its unit; 0: not known
     * @param references measured on this image; a tissue without a region is absent
     */
    public record HighestB(double bValue, Volume image, double noise, Map<Tissue, Reference> references) {
        public HighestB {
            references = Map.copyOf(references);
            if (!(noise >= 0)) throw new IllegalArgumentException("noise must be 0 or more, got " + noise);
        }
    }

    /**
     * All values, in the order of {@link LesionDefinitions#dwi} and {@link LesionDefinitions#adc}.
     *
     * @param adc in 10⁻³ mm²/s, NaN where it was not fitted
     * @param noise standard deviation that the noise gives the ADC, voxel by voxel; empty where not known
     * @param excluded necrosis and blood, which the lowest region keeps away from; may be empty
     * @param t2ToMuscle the lesion's T2 signal ratio to muscle, or why there is none
     */
    public static List<LesionValue> measure(
            Volume adc,
            Optional<Volume> noise,
            Optional<HighestB> highest,
            Mask lesion,
            Mask excluded,
            Measurement t2ToMuscle,
            Settings settings) {
        requireSize(adc, lesion);
        highest.ifPresent(h -> requireSize(h.image(), lesion));
        Optional<Volume> known = settings.withoutNoise() ? noise : Optional.empty();
        AdcDistribution distribution =
                AdcDistribution.of(AdcSample.of(adc, known, lesion, settings.withoutBorder()), lesion.count());
        Measurement endometrium = ratio(highest, Tissue.ENDOMETRIUM, lesion);
        Measurement shine = shineThrough(endometrium, distribution, settings);
        Measurement blackout = blackout(endometrium, distribution, t2ToMuscle, settings);
        String onDwi = isOne(shine) ? "T2 shine-through: bright at the highest b-value, ADC not low" : "";
        String onAdc = joined(
                highest.map(h -> noiseFloor(h, lesion)).orElse(""),
                isOne(blackout) ? "T2 blackout: dark on T2 and DWI, a low ADC is not restricted diffusion" : "",
                distribution.caution());
        List<LesionValue> values = new ArrayList<>();
        for (Tissue tissue : REFERENCES)
            values.add(new LesionValue(
                    new FeatureValue(
                            LesionDefinitions.DWI_RATIO,
                            new Aggregation(tissue.key(), ""),
                            tissue == Tissue.ENDOMETRIUM ? endometrium : ratio(highest, tissue, lesion)),
                    onDwi));
        values.add(LesionValue.of(LesionDefinitions.SHINE_THROUGH, shine));
        values.add(LesionValue.of(LesionDefinitions.BLACKOUT, blackout));
        Measurement lowest = LowestAdcRegion.find(adc, known, without(lesion, excluded), settings.ballRadiusMm());
        for (Definition definition : LesionDefinitions.adc())
            values.add(LesionValue.of(
                            definition,
                            definition == LesionDefinitions.ADC_MINIMUM_REGION
                                    ? lowest
                                    : distribution.value(definition, settings.restricted()))
                    .with(onAdc));
        return values;
    }

    private static void requireSize(Volume image, Mask lesion) {
        if (!image.grid().size().equals(lesion.grid().size()))
            throw new IllegalArgumentException("images must have the lesion's size "
                    + lesion.grid().size() + ", got " + image.grid().size());
    }

    private static Measurement ratio(Optional<HighestB> highest, Tissue tissue, Mask lesion) {
        if (highest.isEmpty()) return new NotMeasured("no diffusion-weighted image was measured");
        ReferenceSignal reference = ReferenceSignal.of(highest.get().references(), tissue);
        if (reference.missing().isPresent())
            return new NotMeasured(reference.missing().get());
        float[] signal = highest.get().image().voxels();
        double sum = 0;
        long n = 0;
        for (int i = 0; i < signal.length; i++) {
            if (lesion.voxels()[i] == 0 || !Float.isFinite(signal[i])) continue;
            sum += signal[i];
            n++;
        }
        return Measurement.of(sum / n / reference.signal(), "no voxel of the lesion has a signal");
    }

    private static Measurement shineThrough(Measurement endometrium, AdcDistribution adc, Settings settings) {
        Optional<Measurement> missing = missing(endometrium, adc);
        if (missing.isPresent()) return missing.get();
        boolean bright = endometrium.number().getAsDouble() >= settings.bright();
        return new Measured(bright && adc.mean() >= settings.restricted() ? 1 : 0);
    }

    private static Measurement blackout(
            Measurement endometrium, AdcDistribution adc, Measurement t2ToMuscle, Settings settings) {
        Optional<Measurement> missing = missing(endometrium, adc);
        if (missing.isPresent()) return missing.get();
        boolean dark = endometrium.number().getAsDouble() < settings.bright();
        if (!dark || adc.mean() >= settings.restricted()) return new Measured(0);
        if (t2ToMuscle.number().isEmpty()) return new NotMeasured("t2 signal ratio to muscle: " + t2ToMuscle.reason());
        return new Measured(t2ToMuscle.number().getAsDouble() <= settings.darkT2() ? 1 : 0);
    }

    private static Optional<Measurement> missing(Measurement endometrium, AdcDistribution adc) {
        if (endometrium.number().isEmpty()) return Optional.of(endometrium);
        return adc.isEmpty() ? Optional.of(new NotMeasured(AdcDistribution.EMPTY)) : Optional.empty();
    }

    private static boolean isOne(Measurement measurement) {
        return measurement.number().orElse(0) == 1;
    }

    private static String noiseFloor(HighestB highest, Mask lesion) {
        double least = FLOOR * highest.noise();
        long below = 0;
        for (int i = 0; i < lesion.voxels().length; i++)
            if (lesion.voxels()[i] != 0 && highest.image().voxels()[i] < least) below++;
        double share = (double) below / Math.max(1, lesion.count());
        return share > FEW ? String.format(Locale.ROOT, BELOW_NOISE, 100 * share, FLOOR, highest.bValue()) : "";
    }

    private static String joined(String... cautions) {
        return Stream.of(cautions).filter(text -> !text.isEmpty()).collect(Collectors.joining("; "));
    }

    private static Mask without(Mask lesion, Mask excluded) {
        byte[] left = lesion.voxels().clone();
        for (int i = 0; i < left.length; i++) left[i] &= (byte) ~excluded.voxels()[i];
        return new Mask(lesion.grid(), left);
    }
}
