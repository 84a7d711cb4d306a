// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.function.ToDoubleFunction;
import org.leiogauge.lesion.Bounds;
import org.leiogauge.lesion.LesionDefinitions;
import org.leiogauge.measure.AccuracyTrial.Comparison;
import org.leiogauge.measure.MethodErrorFile.Entry;
import org.leiogauge.stability.MethodError;
import org.leiogauge.table.Interval;

/**
 * How large the error of the method must be taken, so that the intervals hold the truth of a share of the lesions.
 *
 * <p>The error of the method is that quantile of the errors' sizes over the lesions, as a number or, where that makes the
 * intervals narrower on average, as a share of the value, if that is never close to 0, or of the spread of the lesion's ADC. What the draws add to an interval comes on top, so that it is rather
 * too wide than too narrow.
 */
final class IntervalCalibration {
    static final double SHARE = 0.95;

    // Named once for all phases, or tissues: which there are depends on the study.
    private static final Set<String> ONCE = Set.of("relative enhancement", "dwi signal ratio to reference");
    private static final double LEAST_OF_MEAN = 0.1;

    private IntervalCalibration() {}

    static String key(Comparison c) {
        return ONCE.contains(c.feature()) ? c.feature() : c.name();
    }

    static MethodErrorFile of(List<Comparison> lesions, String about) {
        Map<String, List<Comparison>> byKey = new TreeMap<>();
        for (Comparison c : lesions)
            byKey.computeIfAbsent(key(c), k -> new ArrayList<>()).add(c);
        Map<String, Entry> entries = new TreeMap<>();
        byKey.forEach((key, list) -> entries.put(key, entry(list)));
        return new MethodErrorFile(about, SHARE, entries);
    }

    private static Entry entry(List<Comparison> list) {
        Bounds bounds = bounds(list.get(0).feature());
        double absolute = up(quantile(list, c -> 1));
        double relative = up(quantile(list, c -> Math.abs(c.found())));
        double ofSpread = up(quantile(list, Comparison::spread));
        double ifRelative =
                isEven(list) ? onAverage(relative, list, c -> Math.abs(c.found())) : Double.POSITIVE_INFINITY;
        double ifOfSpread = onAverage(ofSpread, list, Comparison::spread);
        double least = Math.min(absolute, Math.min(ifRelative, ifOfSpread));
        return new Entry(
                least == absolute ? Optional.of(absolute) : Optional.empty(),
                least < absolute && least == ifRelative ? Optional.of(relative) : Optional.empty(),
                least < absolute && least < ifRelative ? Optional.of(ofSpread) : Optional.empty(),
                finite(bounds.least()),
                finite(bounds.most()),
                up(range(list)));
    }

    // A share of what is nearly 0 would be no error at all.
    private static boolean isEven(List<Comparison> list) {
        double[] sizes = list.stream().mapToDouble(c -> Math.abs(c.found())).toArray();
        return Arrays.stream(sizes).min().orElseThrow()
                >= LEAST_OF_MEAN * Arrays.stream(sizes).average().orElseThrow();
    }

    private static double onAverage(double share, List<Comparison> list, ToDoubleFunction<Comparison> of) {
        double mean = list.stream().mapToDouble(of).average().orElseThrow();
        return mean == 0 ? Double.POSITIVE_INFINITY : share * mean;
    }

    // An entry may be of one aggregation, what a feature can be is of all.
    private static Bounds bounds(String feature) {
        return LesionDefinitions.all().stream()
                .filter(definition -> definition.feature().equals(feature))
                .findFirst()
                .map(Bounds::of)
                .orElseThrow();
    }

    private static Optional<Double> finite(double bound) {
        return Double.isFinite(bound) ? Optional.of(bound) : Optional.empty();
    }

    private static double range(List<Comparison> list) {
        double most = list.stream().mapToDouble(Comparison::truth).max().orElseThrow();
        return most - list.stream().mapToDouble(Comparison::truth).min().orElseThrow();
    }

    // Of the errors' sizes, as shares of something; infinite where there is none.
    private static double quantile(List<Comparison> list, ToDoubleFunction<Comparison> of) {
        double[] sorted = list.stream()
                .mapToDouble(c -> c.error() == 0 ? 0 : Math.abs(c.error()) / of.applyAsDouble(c))
                .sorted()
                .toArray();
        return sorted[(int) Math.ceil(SHARE * sorted.length) - 1];
    }

    // Three digits, never less than asked.
    private static double up(double v) {
        return Double.isFinite(v)
                ? new BigDecimal(v).round(new MathContext(3, RoundingMode.UP)).doubleValue()
                : Double.POSITIVE_INFINITY;
    }

    static Interval stated(Comparison c, MethodErrorFile file) {
        return error(c, file).widen(c.found(), c.draws().orElseThrow());
    }

    static MethodError error(Comparison c, MethodErrorFile file) {
        Entry entry = file.features().get(key(c));
        return entry == null ? MethodError.NONE : entry.error().in(c.spread());
    }

    static boolean covers(Comparison c, MethodErrorFile file) {
        Interval interval = stated(c, file);
        return interval.low() <= c.truth() && c.truth() <= interval.high();
    }
}
