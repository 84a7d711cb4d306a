// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Volume;
import org.leiogauge.lesion.LesionParts.Kind;
import org.leiogauge.measure.LesionSegments;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.signal.AdcUnit;
import org.leiogauge.stability.OutlineDraws;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Role;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Maps to be laid over the images, for looking only: patient coordinates decide, nothing is aligned. What is measured comes
 * from the measuring command, which aligns.
 */
final class Maps {
    static final String ADC = "ADC";
    static final String ENHANCEMENT = "enhancement";
    static final String PARTS = "parts of the lesion";
    static final String STABILITY = "how sure the border is";

    private static final double HIGHEST_ADC = 3;
    private static final double HIGHEST_PERCENT = 200;
    private static final double BODY_SHARE = 0.1;
    private static final int DRAWS = 30;
    private static final long SEED = 1;

    private Maps() {}

    /** A series laid over others in its own values. */
    static Layer of(Picture picture, int frame) {
        String unit = picture.series().role().equals(Optional.of(Role.ADC)) ? "as stored" : "";
        return new Layer(picture.title(), picture.volume(frame), picture.range(), unit, List.of());
    }

    /** Diffusion coefficient fitted from b-values, else the scanner's map; none without either. */
    static Optional<Layer> adc(List<Picture> pictures, Workers workers) {
        Optional<Volume> fitted = with(pictures, Role.DWI).flatMap(dwi -> fitted(dwi, workers));
        if (fitted.isPresent()) return Optional.of(Layer.map(ADC, fitted.get(), 0, HIGHEST_ADC, "10⁻³ mm²/s"));
        return with(pictures, Role.ADC)
                .flatMap(Maps::scanner)
                .map(map -> Layer.map(ADC, map, 0, HIGHEST_ADC, "10⁻³ mm²/s"));
    }

    private static Optional<Volume> fitted(Picture dwi, Workers workers) {
        List<AdcFit.Weighted> weighted = dwi.content().frames().stream()
                .filter(frame -> frame.bValue().isPresent())
                .map(frame -> new AdcFit.Weighted(frame.bValue().getAsDouble(), frame.volume()))
                .toList();
        if (weighted.stream().mapToDouble(AdcFit.Weighted::bValue).distinct().count() < 2) return Optional.empty();
        Volume adc = AdcFit.fit(weighted, AdcFit.Settings.standard(), workers).adc();
        Frame lowest = dwi.content().frames().stream()
                .min(Comparator.comparingDouble(frame -> frame.bValue().orElse(Double.MAX_VALUE)))
                .orElseThrow();
        return Optional.of(inBody(adc, lowest.volume()));
    }

    private static Optional<Volume> scanner(Picture map) {
        Volume volume = map.volume(0);
        byte[] all = new byte[volume.voxels().length];
        Arrays.fill(all, (byte) 1);
        try {
            AdcUnit.Found unit =
                    AdcUnit.find(map.series().label(), volume, new Mask(volume.grid(), all), Optional.empty());
            return Optional.of(unit.unit().convert(volume));
        } catch (InputException e) {
            return Optional.empty(); // in no unit that can be told: it can still be laid over as it is stored
        }
    }

    /** How much brighter the last phase is than the image before contrast, in %; none without both. */
    static Optional<Layer> enhancement(List<Picture> pictures, Workers workers) {
        return rise(pictures, workers).map(rise -> Layer.map(ENHANCEMENT, rise, 0, HIGHEST_PERCENT, "%"));
    }

    private static Optional<Volume> rise(List<Picture> pictures, Workers workers) {
        Optional<Picture> post = with(pictures, Role.POST_CONTRAST);
        if (post.isEmpty()) return Optional.empty();
        List<Frame> frames = post.get().content().frames().stream()
                .sorted(Comparator.comparingDouble(frame -> frame.seconds().orElse(Double.MAX_VALUE)))
                .toList();
        Volume late = frames.get(frames.size() - 1).volume();
        Optional<Volume> before = frames.get(0).seconds().orElse(1) <= 0 && frames.size() > 1
                ? Optional.of(frames.get(0).volume())
                : with(pictures, Role.PRE_CONTRAST).map(pre -> onto(pre.volume(0), late.grid(), workers));
        return before.map(pre -> inBody(percent(pre, late), pre));
    }

    private static Volume percent(Volume pre, Volume late) {
        float[] rise = new float[late.voxels().length];
        for (int i = 0; i < rise.length; i++) rise[i] = 100 * (late.voxels()[i] - pre.voxels()[i]) / pre.voxels()[i];
        return new Volume(late.grid(), rise);
    }

    // Air has values too, and they mean nothing.
    private static Volume inBody(Volume map, Volume image) {
        double least = BODY_SHARE * GreyRange.of(image).high();
        float[] inside = map.voxels().clone();
        for (int i = 0; i < inside.length; i++)
            if (!(image.voxels()[i] > least) || !Float.isFinite(inside[i])) inside[i] = Float.NaN;
        return new Volume(map.grid(), inside);
    }

    /** Share of plausible outlines that hold a voxel, near the border; elsewhere nothing to show. */
    static Layer stability(Mask region, Workers workers, Progress progress) {
        OutlineDraws draws = new OutlineDraws(region, OutlineDraws.Settings.standard(), workers);
        int[] held = new int[region.voxels().length];
        for (int draw = 0; draw < DRAWS; draw++) {
            byte[] drawn = draws.draw(new Seed(SEED), draw).voxels();
            for (int i = 0; i < held.length; i++) held[i] += drawn[i];
            progress.at((draw + 1.0) / DRAWS);
        }
        float[] share = new float[held.length];
        for (int i = 0; i < share.length; i++)
            share[i] = held[i] == 0 || held[i] == DRAWS ? Float.NaN : 100f * held[i] / DRAWS;
        return Layer.map(STABILITY, new Volume(region.grid(), share), 0, 100, "% of outlines");
    }

    /** The parts of the lesion as they were measured; where they overlap the later kind is shown. */
    static Layer parts(LesionSegments measured) {
        Box box = measured.outline()
                .boundingBox()
                .orElseThrow(() -> new IllegalArgumentException("region must not be empty"));
        Grid grid = measured.outline().crop(box).grid();
        float[] kinds = new float[grid.size().voxels()];
        Arrays.fill(kinds, Float.NaN);
        for (Kind kind : Kind.values())
            measured.of(kind).map(mask -> mask.crop(box).voxels()).ifPresent(part -> {
                for (int i = 0; i < kinds.length; i++) if (part[i] != 0) kinds[i] = kind.ordinal() + 1;
            });
        return Layer.parts(
                PARTS,
                new Volume(grid, kinds),
                Arrays.stream(Kind.values()).map(Kind::words).toList());
    }

    private static Volume onto(Volume image, Grid grid, Workers workers) {
        return Resampling.onto(
                image, grid, Resampling.Kernel.LINEAR, new Resampling.Outside.Value(Float.NaN), workers, Progress.NONE);
    }

    private static Optional<Picture> with(List<Picture> pictures, Role role) {
        return pictures.stream()
                .filter(picture -> picture.series().role().equals(Optional.of(role)))
                .findFirst();
    }
}
