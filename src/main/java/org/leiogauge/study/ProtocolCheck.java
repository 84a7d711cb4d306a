// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import java.math.BigDecimal;
import java.math.MathContext;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.TreeSet;
import java.util.stream.DoubleStream;
import java.util.stream.Stream;

/**
 * What a study's protocol lacks or has too coarse, and which measurements that costs or weakens.
 *
 * <p>Looked at: the series of each role, slice distance and pixel size of the finest of them, b-values, phases after
 * contrast, the order of the series in time, frames of reference. A dynamic series whose first volume lies at or before the
 * injection, or has no time, brings its own image before contrast.
 */
public final class ProtocolCheck {
    private static final String COMMON = "common practice, no source";
    private static final String EARLY = "early phase as in Goto et al. 2002";

    private static final List<String> T2 = List.of(
            "t2 signal ratio to muscle",
            "t2 signal ratio to myometrium",
            "t2 coefficient of variation",
            "t2 entropy",
            "t2 bright fraction");
    private static final List<String> T1 = List.of("t1 bright fraction", "t1 bright rim index");
    private static final List<String> MARGIN = List.of("margin roughness", "margin sharpness", "lobulation count");
    private static final List<String> TIME_COURSE = List.of(
            "time to peak",
            "wash-in slope",
            "wash-out slope",
            "persistent curve share",
            "plateau curve share",
            "wash-out curve share");
    private static final List<String> POCKET =
            List.of("non-enhancing fraction", "largest non-enhancing pocket", "non-enhancing pocket border width");
    private static final List<String> ENHANCEMENT = joined(
            joined(
                    POCKET,
                    List.of(
                            "non-enhancing fraction by percentage",
                            "non-enhancing pocket centrality",
                            "relative enhancement",
                            "early enhancement ratio",
                            "enhancement heterogeneity")),
            TIME_COURSE);
    private static final List<String> DWI = List.of("dwi signal ratio to reference", "t2 shine-through", "t2 blackout");
    private static final List<String> ADC = List.of(
            "adc mean",
            "adc p05",
            "adc p10",
            "adc p25",
            "adc p50",
            "adc p75",
            "adc p90",
            "adc p95",
            "adc minimum region",
            "adc skewness",
            "adc kurtosis",
            "restricted fraction");

    private final Study study;
    private final Settings settings;
    private final List<Shortfall> found = new ArrayList<>();

    private ProtocolCheck(Study study, Settings settings) {
        this.study = study;
        this.settings = settings;
    }

    /**
     * Lengths in mm, times in s, b-value in s/mm².
     *
     * @param thickestSlice from slice to slice
     * @param largestPixel of T1- and T2-weighted series
     * @param largestDwiPixel of diffusion-weighted series and ADC maps
     * @param highestB the highest b-value should be this or more
     * @param earlyPhase one phase after contrast should be no later
     */
    public record Settings(
            double thickestSlice, double largestPixel, double largestDwiPixel, double highestB, double earlyPhase) {
        /** Early phase as in Goto et al. 2002; the rest common practice, no source. */
        public static Settings standard() {
            return new Settings(6, 1.5, 3, 800, 60);
        }
    }

    /**
     * One thing that is missing, too coarse or out of order.
     *
     * @param what in words
     * @param costs features that cannot be measured, or less well
     * @param source of the rule or its limit
     */
    public record Shortfall(String what, List<String> costs, String source) {
        public Shortfall {
            costs = List.copyOf(costs);
        }
    }

    /** In the order of series, contrast, diffusion, geometry; empty if nothing is wanting. */
    public static List<Shortfall> of(Study study, Settings settings) {
        ProtocolCheck check = new ProtocolCheck(study, settings);
        check.weightings();
        check.contrast();
        check.diffusion();
        check.coarseness();
        check.framesOfReference();
        return List.copyOf(check.found);
    }

    private void weightings() {
        if (study.of(Role.T2).isEmpty()) report("no T2-weighted series", joined(T2, MARGIN), COMMON);
        if (study.of(Role.T1_FAT_SAT).isEmpty() && study.of(Role.PRE_CONTRAST).isEmpty())
            report("no T1-weighted series with fat suppression: blood and fat look alike", T1, COMMON);
    }

    private void contrast() {
        List<Series> post = study.of(Role.POST_CONTRAST);
        if (post.isEmpty()) {
            report("no series after contrast", ENHANCEMENT, COMMON);
            return;
        }
        boolean ownPre = post.stream().anyMatch(ProtocolCheck::hasVolumeBefore);
        if (!ownPre && study.of(Role.PRE_CONTRAST).isEmpty())
            report("no series before contrast to compare with", ENHANCEMENT, COMMON);
        orderInTime(post);
        int phases = post.stream().mapToInt(ProtocolCheck::phasesAfter).sum();
        if (phases == 1) report("one phase after contrast", TIME_COURSE, COMMON);
        OptionalDouble first = post.stream()
                .flatMap(series -> series.acquisition().seconds().stream())
                .mapToDouble(Double::doubleValue)
                .filter(seconds -> seconds > 0)
                .min();
        if (first.isPresent() && first.getAsDouble() > settings.earlyPhase)
            report(
                    "no phase up to " + text(settings.earlyPhase) + " s after injection, the first is at "
                            + text(first.getAsDouble()) + " s",
                    List.of("early enhancement ratio"),
                    EARLY);
        if (first.isEmpty())
            report(
                    "the phases' times after injection are not stated",
                    joined(List.of("early enhancement ratio"), TIME_COURSE),
                    EARLY);
    }

    private void orderInTime(List<Series> post) {
        OptionalDouble before = start(study.of(Role.PRE_CONTRAST).stream());
        OptionalDouble after = start(post.stream());
        if (before.isPresent() && after.isPresent() && after.getAsDouble() < before.getAsDouble())
            report(
                    "the series after contrast was acquired " + text(before.getAsDouble() - after.getAsDouble())
                            + " s earlier than the one before contrast: their roles may be swapped",
                    ENHANCEMENT,
                    COMMON);
    }

    private static OptionalDouble start(Stream<Series> series) {
        return series.flatMapToDouble(s -> s.acquisition().startSeconds().stream())
                .min();
    }

    private static boolean hasVolumeBefore(Series series) {
        List<Double> seconds = series.acquisition().seconds();
        return seconds.isEmpty()
                ? series.facts().phases() > 1
                : seconds.stream().anyMatch(s -> s <= 0);
    }

    private static int phasesAfter(Series series) {
        List<Double> seconds = series.acquisition().seconds();
        int after = (int) seconds.stream().filter(s -> s > 0).count();
        // Of a series of one volume the time counts from itself where no injection is stated.
        return seconds.isEmpty() || series.facts().phases() == 1
                ? Math.max(1, series.facts().phases() - 1)
                : after;
    }

    private void diffusion() {
        boolean map = !study.of(Role.ADC).isEmpty();
        List<Series> dwi = study.of(Role.DWI);
        if (dwi.isEmpty()) {
            report("no diffusion-weighted series", map ? DWI : joined(DWI, ADC), COMMON);
            return;
        }
        TreeSet<Double> bValues = new TreeSet<>();
        dwi.forEach(series -> bValues.addAll(series.facts().bValues()));
        if (bValues.isEmpty()) report("the b-values are not stated", map ? DWI : joined(DWI, ADC), COMMON);
        else {
            if (bValues.size() == 1)
                report("all b-values are " + text(bValues.first()) + " s/mm2", map ? DWI : joined(DWI, ADC), COMMON);
            if (bValues.last() < settings.highestB)
                report(
                        "the highest b-value is " + text(bValues.last()) + " s/mm2, under " + text(settings.highestB)
                                + ": perfusion and T2 weigh in",
                        joined(DWI, ADC),
                        COMMON);
        }
    }

    private void coarseness() {
        coarse(Role.T2, settings.largestPixel, joined(MARGIN, List.of("t2 bright fraction")));
        coarse(Role.T1_FAT_SAT, settings.largestPixel, T1);
        coarse(Role.POST_CONTRAST, settings.largestPixel, POCKET);
        coarse(Role.DWI, settings.largestDwiPixel, List.of("adc minimum region", "restricted fraction"));
        coarse(Role.ADC, settings.largestDwiPixel, List.of("adc minimum region", "restricted fraction"));
    }

    private void coarse(Role role, double largestPixel, List<String> costs) {
        OptionalDouble slice = finest(study.of(role).stream().flatMapToDouble(s -> s.acquisition().sliceMm().stream()));
        if (slice.isPresent() && slice.getAsDouble() > settings.thickestSlice)
            report(
                    role.words() + ": slices " + text(slice.getAsDouble()) + " mm apart, over "
                            + text(settings.thickestSlice) + " mm",
                    costs,
                    COMMON);
        OptionalDouble pixel = finest(study.of(role).stream().flatMapToDouble(s -> s.acquisition().pixelMm().stream()));
        if (pixel.isPresent() && pixel.getAsDouble() > largestPixel)
            report(
                    role.words() + ": pixels of " + text(pixel.getAsDouble()) + " mm, over " + text(largestPixel)
                            + " mm",
                    costs,
                    COMMON);
    }

    // A length as stated has few digits; what remains is the rounding of 32-bit headers.
    private static OptionalDouble finest(DoubleStream lengths) {
        return lengths.map(length -> Math.rint(length * 1e4) / 1e4).min();
    }

    private void framesOfReference() {
        Optional<Series> first = study.series().stream()
                .filter(s -> s.role().isPresent() && !s.frameOfReference().isEmpty())
                .findFirst();
        if (first.isEmpty()) return;
        for (Series series : study.series())
            if (series.role().isPresent()
                    && !series.frameOfReference().isEmpty()
                    && !series.frameOfReference().equals(first.get().frameOfReference()))
                report(
                        series.label() + " has another frame of reference than "
                                + first.get().label() + ": where they lie to each other is not known",
                        costsOf(series.role().get()),
                        "DICOM PS3.3 C.7.4.1");
    }

    private static List<String> costsOf(Role role) {
        return switch (role) {
            case T2 -> T2;
            case T1, T1_FAT_SAT -> T1;
            case PRE_CONTRAST, POST_CONTRAST -> ENHANCEMENT;
            case DWI -> joined(DWI, ADC);
            case ADC -> ADC;
        };
    }

    private void report(String what, List<String> costs, String source) {
        found.add(new Shortfall(what, costs, source));
    }

    private static List<String> joined(List<String> some, List<String> others) {
        return Stream.concat(some.stream(), others.stream()).toList();
    }

    private static String text(double value) {
        return new BigDecimal(value)
                .round(new MathContext(4))
                .stripTrailingZeros()
                .toPlainString();
    }
}
