// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.function.Function;
import org.apache.commons.math3.stat.descriptive.rank.Percentile;
import org.apache.commons.math3.stat.descriptive.rank.Percentile.EstimationType;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * How sure each measurement is: how it moves when it is made again under small, plausible changes, and how far the method
 * itself may err.
 *
 * <p>Interval: from the 2.5th to the 97.5th percentile of the draws (linear between order statistics, type 7), widened where
 * needed so that it holds the measurement itself, and by the feature's {@link MethodError}. Where that is known the interval
 * is meant to hold the truth of 19 lesions in 20 of the kind that it was calibrated on; it is no confidence interval of a
 * patient's or another scanner's truth.
 *
 * <p>Caution: an interval wider than the settings' share of the value's size or, if that is more, of what the feature differs
 * by between lesions; of 1, for a share.
 *
 * <p>Source: common practice, no source; percentile: Hyndman and Fan 1996, doi:10.2307/2684934, definition 7.
 */
public final class Stability {
    private static final double TAIL_PERCENT = 2.5;

    private Stability() {}

    /**
     * What can be set.
     *
     * @param draws 0 leaves the intervals out
     * @param seed of all draws
     * @param wide a value is flagged when its interval is wider than this share of its size or the feature's range; of 1,
     *     for a share
     */
    public record Settings(int draws, long seed, double wide, OutlineDraws.Settings outline, double alignmentMm) {
        public Settings {
            if (draws < 0 || draws == 1 || draws > 10_000)
                throw new IllegalArgumentException("draws must be 0, or 2 to 10000, got " + draws);
            if (!(wide > 0)) throw new IllegalArgumentException("wide must be > 0, got " + wide);
            if (!(alignmentMm >= 0 && alignmentMm < 100))
                throw new IllegalArgumentException("alignment-mm must be 0 to 100, got " + alignmentMm);
        }

        public static Settings standard() {
            return new Settings(30, 17, 0.5, OutlineDraws.Settings.standard(), 0.5);
        }
    }

    /** Measures once more, under the changes of one draw. */
    @FunctionalInterface
    public interface Draw<K> {
        Map<K, Measurement> measure(int number);
    }

    /**
     * How a value stood in the draws.
     *
     * @param interval none where no draw had a value
     * @param caution why the value wants care; empty if it does not
     */
    public record Steadiness(Optional<Interval> interval, String caution) {}

    /**
     * Draws in parallel, put together in their order.
     *
     * @param errors of the method, per measurement
     */
    public static <K> Map<K, Steadiness> of(
            Map<K, Measurement> measured,
            Function<K, MethodError> errors,
            Settings settings,
            Draw<K> draw,
            Workers workers,
            Progress progress) {
        List<Map<K, Measurement>> draws = workers.map(settings.draws(), i -> {
            progress.at((double) i / settings.draws());
            return draw.measure(i);
        });
        Map<K, Steadiness> result = new LinkedHashMap<>();
        measured.forEach((key, value) -> value.number()
                .ifPresent(number ->
                        result.put(key, steadiness(number, values(key, draws), errors.apply(key), settings))));
        return result;
    }

    private static <K> double[] values(K key, List<Map<K, Measurement>> draws) {
        List<Double> values = new ArrayList<>();
        for (Map<K, Measurement> draw : draws) {
            Measurement found = draw.get(key);
            OptionalDouble number = found == null ? OptionalDouble.empty() : found.number();
            number.ifPresent(values::add);
        }
        return values.stream().mapToDouble(Double::doubleValue).toArray();
    }

    private static Steadiness steadiness(double value, double[] draws, MethodError error, Settings settings) {
        int missing = settings.draws() - draws.length;
        if (draws.length == 0)
            return new Steadiness(Optional.empty(), settings.draws() == 0 ? "" : "no draw could measure it again");
        Percentile percentile = new Percentile().withEstimationType(EstimationType.R_7);
        percentile.setData(draws);
        Interval interval = error.widen(
                value,
                new Interval(
                        Math.min(value, percentile.evaluate(TAIL_PERCENT)),
                        Math.max(value, percentile.evaluate(100 - TAIL_PERCENT))));
        if (missing > 0) return new Steadiness(Optional.of(interval), missing + " draws could not measure it again");
        boolean wide = error.isWide(value, interval, settings.wide());
        return new Steadiness(Optional.of(interval), wide ? "wide interval" : "");
    }
}
