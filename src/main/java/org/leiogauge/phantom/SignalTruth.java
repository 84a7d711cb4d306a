// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.stream.Collectors;
import org.leiogauge.phantom.SeriesSettings.Kind;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

/**
 * True signal of a lesion against itself and against reference tissue, without noise, coil bias and partial volume: the
 * signal equations at points that fill its sharp surface evenly, texture included.
 */
final class SignalTruth {
    /** Phases up to this time after injection are early, in seconds. */
    private static final double EARLY = 60;

    private final PhantomSettings settings;
    private final SampledTissue lesion;
    private final Map<Tissue, SampledTissue> references;
    private final Workers workers;

    private SignalTruth(
            PhantomSettings settings, SampledTissue lesion, Map<Tissue, SampledTissue> references, Workers workers) {
        this.settings = settings;
        this.lesion = lesion;
        this.references = references;
        this.workers = workers;
    }

    /** @param references the reference tissues at the places that the case file names */
    static List<TruthRow> of(
            PhantomSettings settings, SampledTissue lesion, Map<Tissue, SampledTissue> references, Workers workers) {
        SignalTruth truth = new SignalTruth(settings, lesion, references, workers);
        List<TruthRow> rows = new ArrayList<>(truth.t2());
        rows.addAll(truth.dynamic());
        rows.addAll(truth.diffusion());
        return rows;
    }

    private Optional<SeriesSettings> series(Kind kind) {
        return settings.series().stream().filter(s -> s.kind() == kind).findFirst();
    }

    private List<TruthRow> t2() {
        double[] signal = lesion.signal(settings.t2(), 0, workers);
        return List.of(
                ratio("t2 signal ratio to muscle", "", settings.t2(), 0, Tissue.MUSCLE),
                ratio("t2 signal ratio to myometrium", "", settings.t2(), 0, Tissue.MYOMETRIUM),
                TruthRow.of(
                        "t2 coefficient of variation",
                        variation(signal),
                        "1",
                        "standard deviation over mean of the signal without noise and partial volume"));
    }

    private TruthRow ratio(String feature, String aggregation, SeriesSettings series, int image, Tissue tissue) {
        SampledTissue reference = references.get(tissue);
        if (reference == null)
            return new TruthRow(
                    feature,
                    aggregation,
                    new Measurement.NotMeasured("no place for a reference of " + name(tissue)),
                    "1",
                    "");
        return TruthRow.of(
                feature,
                aggregation,
                lesion.mean(series, image, workers) / reference.mean(series, image, workers),
                "1",
                "mean signal of the lesion over that of the case file's reference, without noise and coil bias");
    }

    private List<TruthRow> dynamic() {
        Optional<SeriesSettings> dynamic = series(Kind.DYNAMIC);
        if (dynamic.isEmpty()) return missing();
        SeriesSettings series = dynamic.get();
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
        rows.add(early(series, relative));
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
        return List.of(
                TruthRow.none("relative enhancement", "%", reason),
                TruthRow.none("early enhancement ratio", "1", reason),
                TruthRow.none("time to peak", "s", reason),
                TruthRow.none("wash-in slope", "%/s", reason),
                TruthRow.none("wash-out slope", "%/s", reason),
                TruthRow.none("enhancement heterogeneity", "1", reason));
    }

    private TruthRow early(SeriesSettings series, double[] relative) {
        int image = (int) series.phaseSeconds().stream().filter(t -> t <= EARLY).count();
        SampledTissue myometrium = references.get(Tissue.MYOMETRIUM);
        String feature = "early enhancement ratio";
        if (image == 0) return TruthRow.none(feature, "1", "no phase up to 60 s after injection");
        if (myometrium == null) return TruthRow.none(feature, "1", "no place for a reference of myometrium");
        double own = 100 * (myometrium.mean(series, image, workers) / myometrium.mean(series, 0, workers) - 1);
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
                variation(relative),
                "1",
                "standard deviation over mean of the relative enhancement at each place, last phase");
    }

    private List<TruthRow> diffusion() {
        Optional<SeriesSettings> dwi = series(Kind.DWI);
        String feature = "dwi signal ratio to reference";
        if (dwi.isEmpty()) return List.of(TruthRow.none(feature, "1", "the study has no diffusion series"));
        int highest = dwi.get().bValues().size() - 1;
        return ReferencePlaces.TISSUES.stream()
                .map(tissue -> ratio(feature, name(tissue), dwi.get(), highest, tissue))
                .collect(Collectors.toList());
    }

    private static double variation(double[] values) {
        double mean = Arrays.stream(values).sum() / values.length;
        double square = 0;
        for (double v : values) square += (v - mean) * (v - mean);
        return Math.sqrt(square / values.length) / mean;
    }

    private static String name(Tissue tissue) {
        return tissue.name().toLowerCase(Locale.ROOT);
    }

    /** As {@code 30 s}, or {@code 7.5 s} where it isn't whole. */
    private static String seconds(double seconds) {
        return (seconds == Math.rint(seconds) ? String.valueOf((long) seconds) : String.valueOf(seconds)) + " s";
    }
}
