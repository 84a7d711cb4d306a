// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

/** True rise of a lesion's signal after contrast agent, without noise, as in {@link SignalTruth}. */
final class EnhancementTruth {
    /** Phases up to this time after injection are early, in seconds. */
    private static final double EARLY = 60;

    private final SeriesSettings series;
    private final SampledTissue lesion;
    private final Optional<SampledTissue> myometrium;
    private final Workers workers;

    private EnhancementTruth(
            SeriesSettings series, SampledTissue lesion, Optional<SampledTissue> myometrium, Workers workers) {
        this.series = series;
        this.lesion = lesion;
        this.myometrium = myometrium;
        this.workers = workers;
    }

    static List<TruthRow> of(
            PhantomSettings settings, SampledTissue lesion, Optional<SampledTissue> myometrium, Workers workers) {
        return settings.series().stream()
                .filter(s -> s.kind() == SeriesSettings.Kind.DYNAMIC)
                .findFirst()
                .map(s -> new EnhancementTruth(s, lesion, myometrium, workers).rows())
                .orElseGet(EnhancementTruth::missing);
    }

    private List<TruthRow> rows() {
        List<Double> seconds = series.phaseSeconds();
        double[] before = lesion.signal(series, 0, workers);
        double[] last = before;
        double[] relative = new double[seconds.size()];
        List<TruthRow> rows = new ArrayList<>();
        for (int i = 0; i < relative.length; i++) {
            last = lesion.signal(series, i + 1, workers);
            relative[i] =
                    100 * (Arrays.stream(last).sum() / Arrays.stream(before).sum() - 1);
            rows.add(TruthRow.of(
                    "relative enhancement",
                    seconds(seconds.get(i)),
                    relative[i],
                    "%",
                    "100 (S - S0) / S0 of the mean signal over the lesion"));
        }
        rows.add(early(relative));
        rows.addAll(curve(seconds, relative));
        rows.add(heterogeneity(before, last));
        return rows;
    }

    private static List<TruthRow> curve(List<Double> seconds, double[] relative) {
        int peak = 0;
        for (int i = 1; i < relative.length; i++) if (relative[i] > relative[peak]) peak = i;
        double in = Double.NEGATIVE_INFINITY;
        for (int i = 0; i < relative.length; i++) {
            double rise = relative[i] - (i == 0 ? 0 : relative[i - 1]);
            double time = seconds.get(i) - (i == 0 ? 0 : seconds.get(i - 1));
            if (time > 0) in = Math.max(in, rise / time);
        }
        if (!(relative[peak] > 0)) return still("the lesion does not enhance");
        int last = relative.length - 1;
        double out = peak == last ? 0 : (relative[last] - relative[peak]) / (seconds.get(last) - seconds.get(peak));
        return List.of(
                TruthRow.of("time to peak", seconds.get(peak), "s", "the phase with the highest mean signal"),
                new TruthRow(
                        "wash-in slope",
                        "",
                        Measurement.of(in, "the only phase is at the injection"),
                        "%/s",
                        "steepest rise of the mean signal's relative enhancement from phase to phase, 0 at the injection"),
                TruthRow.of(
                        "wash-out slope",
                        out,
                        "%/s",
                        "change of the mean signal's relative enhancement from its peak to the last phase"));
    }

    private static List<TruthRow> missing() {
        String reason = "the study has no dynamic series";
        List<TruthRow> rows = new ArrayList<>(List.of(
                TruthRow.none("relative enhancement", "%", reason),
                TruthRow.none("early enhancement ratio", "1", reason),
                TruthRow.none("enhancement heterogeneity", "1", reason)));
        rows.addAll(still(reason));
        return rows;
    }

    private static List<TruthRow> still(String reason) {
        return List.of(
                TruthRow.none("time to peak", "s", reason),
                TruthRow.none("wash-in slope", "%/s", reason),
                TruthRow.none("wash-out slope", "%/s", reason));
    }

    private TruthRow early(double[] relative) {
        int image = (int) series.phaseSeconds().stream().filter(t -> t <= EARLY).count();
        String feature = "early enhancement ratio";
        if (image == 0) return TruthRow.none(feature, "1", "no phase up to 60 s after injection");
        if (myometrium.isEmpty()) return TruthRow.none(feature, "1", "no place for a reference of myometrium");
        double own = 100
                * (myometrium.get().mean(series, image, workers)
                                / myometrium.get().mean(series, 0, workers)
                        - 1);
        if (!(own > 0)) return TruthRow.none(feature, "1", "the myometrium does not enhance by then");
        return TruthRow.of(
                feature,
                relative[image - 1] / own,
                "1",
                "relative enhancement of the lesion over that of the case file's myometrium, "
                        + seconds(series.phaseSeconds().get(image - 1)));
    }

    private static TruthRow heterogeneity(double[] before, double[] after) {
        double[] relative = new double[before.length];
        for (int i = 0; i < before.length; i++) relative[i] = before[i] > 0 ? after[i] / before[i] - 1 : 0;
        String feature = "enhancement heterogeneity";
        if (!(Arrays.stream(relative).sum() > 0)) return TruthRow.none(feature, "1", "the lesion does not enhance");
        return TruthRow.of(
                feature,
                SignalTruth.variation(relative),
                "1",
                "standard deviation over mean of the relative enhancement at each place, last phase");
    }

    /** As {@code 30 s}, or {@code 7.5 s} where it isn't whole. */
    private static String seconds(double seconds) {
        return (seconds == Math.rint(seconds) ? String.valueOf((long) seconds) : String.valueOf(seconds)) + " s";
    }
}
