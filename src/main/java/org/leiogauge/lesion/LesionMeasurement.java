// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.StandardFeatures;
import org.leiogauge.image.Mask;
import org.leiogauge.lesion.LesionImages.Contrast;
import org.leiogauge.lesion.LesionImages.Diffusion;
import org.leiogauge.lesion.LesionImages.Masks;
import org.leiogauge.lesion.LesionImages.T1;
import org.leiogauge.lesion.LesionImages.T2;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.study.Role;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** All lesion-level values of one lesion, in the order of the registry; what cannot be measured is there with its reason. */
public final class LesionMeasurement {
    private final LesionImages images;
    private final Masks masks;
    private final LesionSettings settings;
    private final Workers workers;
    private final List<PlacedValue> values = new ArrayList<>();

    private LesionMeasurement(LesionImages images, Masks masks, LesionSettings settings, Workers workers) {
        this.images = images;
        this.masks = masks;
        this.settings = settings;
        this.workers = workers;
    }

    public static List<PlacedValue> measure(
            LesionImages images, Masks masks, LesionSettings settings, Workers workers) {
        LesionMeasurement all = new LesionMeasurement(images, masks, settings, workers);
        all.shape();
        Measurement t2ToMuscle = all.t2();
        Optional<Mask> blood = all.t1();
        all.enhancement();
        Optional<Mask> dead = all.dead(blood);
        all.diffusion(t2ToMuscle, dead);
        all.parts(dead);
        return List.copyOf(all.values);
    }

    private void shape() {
        add(
                "",
                LesionValue.of(
                        LesionDefinitions.VOLUME,
                        new Measurement.Measured(masks.outline().volume())));
        MarginShape.measure(masks.outline(), settings.margin(), workers).forEach(value -> add("", value));
    }

    private Measurement t2() {
        if (images.t2().isEmpty() || masks.t2().isEmpty()) {
            Measurement none = missing(Role.T2);
            addMissing(Role.T2, LesionDefinitions.marginSharpness(), none);
            addMissing(Role.T2, LesionDefinitions.t2(), none);
            return none;
        }
        T2 t2 = images.t2().get();
        Mask mask = masks.t2().get();
        MarginSharpness.measure(t2.image(), mask, t2.references(), settings.sharpness(), workers)
                .forEach(value -> add(Role.T2.key(), value));
        List<LesionValue> signal = T2Signal.measure(t2.image(), mask, t2.references(), settings.t2(), workers);
        signal.forEach(value -> add(Role.T2.key(), value));
        List<FeatureValue> spread = StandardFeatures.measure(
                t2.image(),
                mask,
                settings.features().only(List.of(Family.INTENSITY, Family.HISTOGRAM)),
                workers,
                Progress.NONE);
        String few = T2Signal.few(t2.image(), mask, settings.t2());
        LesionShape.t2Spread(spread)
                .forEach(value -> add(
                        Role.T2.key(),
                        new LesionValue(value, value.measurement().number().isPresent() ? few : "")));
        return signal.stream()
                .filter(v -> v.value().definition().equals(LesionDefinitions.T2_TO_MUSCLE))
                .findFirst()
                .orElseThrow()
                .value()
                .measurement();
    }

    // What is as bright as blood, where that can be told.
    private Optional<Mask> t1() {
        if (images.t1().isEmpty() || masks.t1().isEmpty()) {
            addMissing(Role.T1_FAT_SAT, LesionDefinitions.t1(), missing(Role.T1_FAT_SAT));
            return Optional.empty();
        }
        T1 t1 = images.t1().get();
        Mask mask = masks.t1().get();
        Optional<BrightPart> bright = T1Blood.brightPart(t1.image(), mask, t1.references(), settings.t1());
        String key = (t1.fatSuppressed() ? Role.T1_FAT_SAT : Role.T1).key();
        T1Blood.measure(t1.image(), t1.fatSuppressed(), t1.t2(), mask, t1.references(), bright, settings.t1(), workers)
                .forEach(value -> add(key, value));
        return bright.map(BrightPart::mask);
    }

    private void enhancement() {
        if (images.contrast().isEmpty() || masks.contrast().isEmpty()) {
            addMissing(
                    Role.POST_CONTRAST,
                    LesionDefinitions.enhancement(),
                    new NotMeasured(
                            "no series before and after contrast, or none that could be measured (log, decisions)"));
            return;
        }
        Contrast contrast = images.contrast().get();
        LesionEnhancement.measure(
                        contrast.images(),
                        masks.contrast().get(),
                        settings.enhancement().withNoise(contrast.noise()),
                        workers)
                .forEach(value -> add(Role.POST_CONTRAST.key(), value));
    }

    // On the diffusion images' grid; none without them.
    private Optional<Mask> dead(Optional<Mask> blood) {
        if (images.diffusion().isEmpty()) return Optional.empty();
        return masks.diffusion().map(lesion -> LesionParts.dead(images, blood, lesion, workers));
    }

    private void diffusion(Measurement t2ToMuscle, Optional<Mask> dead) {
        if (dead.isEmpty()) {
            addMissing(Role.DWI, LesionDefinitions.dwi(), missing(Role.DWI));
            addMissing(Role.ADC, LesionDefinitions.adc(), missing(Role.ADC));
            return;
        }
        Diffusion diffusion = images.diffusion().get();
        Mask mask = masks.diffusion().get();
        for (LesionValue value : LesionDiffusion.measure(
                diffusion.adc(),
                diffusion.noise(),
                diffusion.highest(),
                mask,
                dead.get(),
                t2ToMuscle,
                settings.diffusion()))
            add(LesionDefinitions.dwi().contains(value.value().definition()) ? Role.DWI.key() : Role.ADC.key(), value);
    }

    private void parts(Optional<Mask> dead) {
        PlacedValue nonEnhancing = placed(LesionDefinitions.NON_ENHANCING_FRACTION);
        Measurement share = nonEnhancing.value().value().measurement();
        addPart(
                Kind.ENHANCING,
                nonEnhancing,
                share.number().isPresent() ? of(1 - share.number().getAsDouble()) : share);
        addPart(Kind.NON_ENHANCING, nonEnhancing, share);
        PlacedValue bright = placed(LesionDefinitions.T1_BRIGHT_FRACTION);
        addPart(Kind.HAEMORRHAGIC, bright, bright.value().value().measurement());
        PlacedValue fluid = placed(LesionDefinitions.T2_FLUID_FRACTION);
        addPart(Kind.CYSTIC, fluid, cystic(fluid.value().value().measurement()));
        PlacedValue low = placed(LesionDefinitions.RESTRICTED_FRACTION);
        addPart(Kind.RESTRICTED, low, restricted(low.value().value().measurement(), dead));
    }

    private PlacedValue placed(Definition definition) {
        return values.stream()
                .filter(v -> v.value().value().definition().equals(definition))
                .findFirst()
                .orElseThrow();
    }

    private static Measurement of(double share) {
        return new Measurement.Measured(share);
    }

    private Measurement cystic(Measurement fluid) {
        if (!(fluid.number().orElse(0) > 0)) return fluid;
        T2 t2 = images.t2().orElseThrow();
        Mask lesion = SignalIn.valued(t2.image(), masks.t2().orElseThrow());
        Mask part = T2Signal.fluidPart(t2.image(), lesion, t2.references(), settings.t2())
                .orElseThrow()
                .mask();
        return of((double) LesionParts.withoutEnhancing(part, images, workers).count() / lesion.count());
    }

    private Measurement restricted(Measurement low, Optional<Mask> dead) {
        if (!(low.number().orElse(0) > 0)) return low;
        Diffusion diffusion = images.diffusion().orElseThrow();
        Mask lesion = masks.diffusion().orElseThrow();
        double voxels = LesionParts.restricted(diffusion, lesion, dead.orElseThrow(), settings.diffusion())
                .count();
        return of(voxels / SignalIn.valued(diffusion.adc(), lesion).count());
    }

    private void addPart(Kind kind, PlacedValue by, Measurement share) {
        Measurement volume = share.number().isPresent()
                ? of(share.number().getAsDouble() * masks.outline().volume())
                : share;
        values.add(new PlacedValue(
                by.series(),
                new LesionValue(
                        new FeatureValue(LesionDefinitions.PART_VOLUME, new Aggregation(kind.words(), ""), volume),
                        by.value().caution())));
    }

    private static Measurement missing(Role role) {
        return new NotMeasured("no " + role.words() + " series was measured");
    }

    private void addMissing(Role role, List<Definition> definitions, Measurement reason) {
        definitions.forEach(definition -> add(role.key(), LesionValue.of(definition, reason)));
    }

    private void add(String series, LesionValue value) {
        values.add(new PlacedValue(series, value));
    }
}
