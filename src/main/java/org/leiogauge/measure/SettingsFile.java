// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.feature.Family;
import org.leiogauge.feature.Settings.Discretise;
import org.leiogauge.feature.Settings.ImageKernel;
import org.leiogauge.feature.Settings.IntensityVolume;
import org.leiogauge.feature.Settings.MaskKernel;
import org.leiogauge.feature.Settings.Range;
import org.leiogauge.feature.Settings.Resample;
import org.leiogauge.feature.Settings.Resegment;
import org.leiogauge.feature.Settings.Texture;
import org.leiogauge.feature.filter.Filter;
import org.leiogauge.image.Spacing;
import org.leiogauge.lesion.LesionDiffusion;
import org.leiogauge.lesion.LesionEnhancement;
import org.leiogauge.lesion.LesionSettings;
import org.leiogauge.lesion.MarginShape;
import org.leiogauge.lesion.MarginSharpness;
import org.leiogauge.lesion.T1Blood;
import org.leiogauge.lesion.T2Signal;
import org.leiogauge.outline.BorderRefinement;
import org.leiogauge.stability.Stability;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

/**
 * Settings as the YAML file that people write. A key that is absent keeps its standard value; an unknown one is an error
 * that names key and line.
 */
public final class SettingsFile {
    private static final org.leiogauge.feature.Settings STANDARD = org.leiogauge.feature.Settings.standard();

    private SettingsFile() {}

    /**
     * @param file none: the standard settings
     * @param overrides as {@code features.dimensions=2}
     */
    public static Settings read(Optional<Path> file, List<String> overrides) throws InputException {
        Whole whole = whole(file, overrides);
        if (whole.filter().isPresent())
            throw new InputException(
                    name(file), "key filter", "a filter", "none: it serves features and filter of one image alone");
        return settings(file, whole);
    }

    /**
     * The part for one image: how its features are measured, and what filters it before.
     *
     * @param filter none: the image itself
     */
    public record OfImage(org.leiogauge.feature.Settings features, Optional<Filter> filter) {}

    /** As {@link #read}, for one image. */
    public static OfImage readOfImage(Optional<Path> file, List<String> overrides) throws InputException {
        Whole whole = whole(file, overrides);
        org.leiogauge.feature.Settings features = settings(file, whole).features();
        try {
            return new OfImage(features, whole.filter().map(FilterPart::filter));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(name(file), "filter", e);
        }
    }

    private static Whole whole(Optional<Path> file, List<String> overrides) throws InputException {
        Whole standard = Whole.of(Settings.standard(), Optional.empty());
        return file.isPresent()
                ? Yaml.PLAIN.readOver(standard, file.get(), overrides, Whole.class)
                : Yaml.PLAIN.override(standard, overrides, Whole.class);
    }

    private static Settings settings(Optional<Path> file, Whole whole) throws InputException {
        try {
            return whole.settings();
        } catch (IllegalArgumentException e) {
            throw InputException.refused(name(file), "features", e);
        }
    }

    private static Object name(Optional<Path> file) {
        return file.<Object>map(path -> path).orElse("--set");
    }

    /** All settings, written out in full. */
    public static String text(Settings settings) {
        return Yaml.PLAIN.text(Whole.of(settings, Optional.of(Features.of(settings.features()))));
    }

    /** The whole file. */
    record Whole(
            Optional<Features> features,
            Optional<FilterPart> filter,
            SeriesPart series,
            MarginShape.Settings margin,
            MarginSharpness.Settings sharpness,
            T2Signal.Settings t2,
            T1Blood.Settings t1,
            LesionEnhancement.Settings enhancement,
            LesionDiffusion.Settings diffusion,
            OutlinePart outline,
            Stability.Settings stability) {

        static Whole of(Settings settings, Optional<Features> features) {
            LesionSettings l = settings.lesion();
            return new Whole(
                    features,
                    Optional.empty(),
                    new SeriesPart(
                            settings.align(), settings.bias(), settings.adcUnit(), settings.unknownPhaseSeconds()),
                    l.margin(),
                    l.sharpness(),
                    l.t2(),
                    l.t1(),
                    l.enhancement(),
                    l.diffusion(),
                    OutlinePart.of(settings.outline()),
                    settings.stability());
        }

        Settings settings() {
            return new Settings(
                    new LesionSettings(
                            features.map(Features::settings).orElse(STANDARD),
                            margin,
                            sharpness,
                            t2,
                            t1,
                            enhancement,
                            diffusion),
                    series.align(),
                    series.biasField(),
                    series.adcUnit(),
                    series.unknownPhaseSeconds(),
                    outline.settings(),
                    stability);
        }
    }

    /** What is done to the series before anything is measured. */
    record SeriesPart(boolean align, boolean biasField, Optional<String> adcUnit, double unknownPhaseSeconds) {}

    /** How a drawn border is refined. */
    record OutlinePart(
            boolean refine,
            BorderRefinement.Method method,
            double moveMm,
            double smoothMm,
            double leastSeparation,
            boolean allSeries) {
        OutlineSettings settings() {
            return new OutlineSettings(
                    refine, new BorderRefinement.Settings(method, moveMm, smoothMm, leastSeparation), allSeries);
        }

        static OutlinePart of(OutlineSettings settings) {
            BorderRefinement.Settings border = settings.border();
            return new OutlinePart(
                    settings.refine(),
                    border.method(),
                    border.moveMm(),
                    border.smoothMm(),
                    border.leastSeparation(),
                    settings.allSeries());
        }
    }

    /** The part {@code features}; what is absent is null here and nowhere else. */
    record Features(
            Integer dimensions,
            Ranges resegment,
            Voxels resample,
            Bins discretise,
            Bins intensityVolume,
            Neighbours texture,
            List<Family> families) {

        org.leiogauge.feature.Settings settings() {
            return new org.leiogauge.feature.Settings(
                    dimensions == null ? STANDARD.dimensions() : dimensions,
                    resegment == null ? STANDARD.resegment() : resegment.settings(),
                    resample == null ? STANDARD.resample() : Optional.of(resample.settings()),
                    discretise == null ? STANDARD.discretise() : discretise.discretise(),
                    intensityVolume == null ? STANDARD.intensityVolume() : intensityVolume.intensityVolume(),
                    texture == null ? STANDARD.texture() : texture.settings(),
                    families == null ? STANDARD.families() : families);
        }

        static Features of(org.leiogauge.feature.Settings settings) {
            return new Features(
                    settings.dimensions(),
                    Ranges.of(settings.resegment()),
                    settings.resample().map(Voxels::of).orElse(null),
                    Bins.of(settings.discretise()),
                    Bins.of(settings.intensityVolume()),
                    new Neighbours(
                            settings.texture().distance(), settings.texture().ngldmAlpha()),
                    settings.families());
        }
    }

    record Ranges(List<Double> range, Double outliers) {
        Resegment settings() {
            return new Resegment(
                    range == null ? Optional.empty() : Optional.of(rangeOf(range)),
                    outliers == null ? OptionalDouble.empty() : OptionalDouble.of(outliers));
        }

        static Ranges of(Resegment resegment) {
            return new Ranges(
                    resegment.range().map(r -> List.of(r.low(), r.high())).orElse(null),
                    resegment.outliers().isPresent() ? resegment.outliers().getAsDouble() : null);
        }

        private static Range rangeOf(List<Double> ends) {
            if (ends.size() != 2)
                throw new IllegalArgumentException("resegment.range must be [lowest, highest], got " + ends);
            return new Range(ends.get(0), ends.get(1));
        }
    }

    record Voxels(List<Double> spacing, ImageKernel image, MaskKernel mask, Boolean round) {
        Resample settings() {
            if (spacing == null || spacing.size() != 3)
                throw new IllegalArgumentException("resample.spacing must be three lengths in mm, got " + spacing);
            return new Resample(
                    new Spacing(spacing.get(0), spacing.get(1), spacing.get(2)),
                    image == null ? ImageKernel.LINEAR : image,
                    mask == null ? MaskKernel.LINEAR : mask,
                    round == null || round);
        }

        static Voxels of(Resample resample) {
            Spacing s = resample.spacing();
            return new Voxels(List.of(s.x(), s.y(), s.z()), resample.image(), resample.mask(), resample.round());
        }
    }

    enum Method {
        NONE,
        FIXED_NUMBER,
        FIXED_WIDTH
    }

    record Bins(Method method, Integer bins, Double width, Double origin) {
        Bins {
            // What stands beside an absent method says which one is meant.
            if (method == null && bins != null) method = Method.FIXED_NUMBER;
            if (method == null && width != null) method = Method.FIXED_WIDTH;
            boolean fits = method != null
                    && (bins != null) == (method == Method.FIXED_NUMBER)
                    && (width != null && origin != null) == (method == Method.FIXED_WIDTH)
                    && (width != null || origin == null);
            if (!fits)
                throw new IllegalArgumentException(
                        "must be {method: fixed-number, bins: N}, {method: fixed-width, width: W, origin: O}"
                                + " or, for intensity-volume, {method: none}");
        }

        Discretise discretise() {
            if (method == Method.NONE)
                throw new IllegalArgumentException("discretise.method must be fixed-number or fixed-width, got none");
            return method == Method.FIXED_NUMBER
                    ? new Discretise.FixedNumber(bins)
                    : new Discretise.FixedWidth(width, origin);
        }

        IntensityVolume intensityVolume() {
            if (method == Method.NONE) return new IntensityVolume.None();
            return method == Method.FIXED_NUMBER
                    ? new IntensityVolume.FixedNumber(bins)
                    : new IntensityVolume.FixedWidth(width, origin);
        }

        static Bins of(Discretise discretise) {
            if (discretise instanceof Discretise.FixedNumber number) return number(number.bins());
            Discretise.FixedWidth width = (Discretise.FixedWidth) discretise;
            return width(width.width(), width.origin());
        }

        static Bins of(IntensityVolume volume) {
            if (volume instanceof IntensityVolume.FixedNumber number) return number(number.bins());
            if (volume instanceof IntensityVolume.FixedWidth width) return width(width.width(), width.origin());
            return new Bins(Method.NONE, null, null, null);
        }

        private static Bins number(int bins) {
            return new Bins(Method.FIXED_NUMBER, bins, null, null);
        }

        private static Bins width(double width, double origin) {
            return new Bins(Method.FIXED_WIDTH, null, width, origin);
        }
    }

    record Neighbours(Integer distance, Integer ngldmAlpha) {
        Texture settings() {
            return new Texture(
                    distance == null ? STANDARD.texture().distance() : distance,
                    ngldmAlpha == null ? STANDARD.texture().ngldmAlpha() : ngldmAlpha);
        }
    }
}
