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
        rows.addAll(
                EnhancementTruth.of(settings, lesion, Optional.ofNullable(references.get(Tissue.MYOMETRIUM)), workers));
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

    private List<TruthRow> diffusion() {
        Optional<SeriesSettings> dwi = series(Kind.DWI);
        String feature = "dwi signal ratio to reference";
        if (dwi.isEmpty()) return List.of(TruthRow.none(feature, "1", "the study has no diffusion series"));
        int highest = dwi.get().bValues().size() - 1;
        return ReferencePlaces.TISSUES.stream()
                .map(tissue -> ratio(feature, name(tissue), dwi.get(), highest, tissue))
                .collect(Collectors.toList());
    }

    /** Standard deviation over mean. */
    static double variation(double[] values) {
        double mean = Arrays.stream(values).sum() / values.length;
        double square = 0;
        for (double v : values) square += (v - mean) * (v - mean);
        return Math.sqrt(square / values.length) / mean;
    }

    private static String name(Tissue tissue) {
        return tissue.name().toLowerCase(Locale.ROOT);
    }
}
