// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.TreeSet;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Vector;
import org.leiogauge.lesion.LesionImages;
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.phantom.Preset;
import org.leiogauge.phantom.ScannerSettings;
import org.leiogauge.phantom.SeriesSettings;
import org.leiogauge.stability.MethodErrors;
import org.leiogauge.stability.Stability;
import org.leiogauge.stability.Stability.Steadiness;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Interval;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** One invented study, measured as {@code measure} does with the true outline, beside what is true of it. */
record AccuracyTrial(Preset preset, long seed, Protocol protocol) {

    /** How the lesion is scanned, beside the preset's own protocol at the demonstration's small matrix. */
    enum Protocol {
        STANDARD,
        HALF_SNR,
        DOUBLE_SNR,
        SLICES_3_MM,
        SLICES_7_MM,
        SAGITTAL,
        OBLIQUE,
        FULL_MATRIX,
        /** As large, without noise, coil field, distortion and movement: what is left are the voxels. */
        FLAWLESS;

        private static final double NO_NOISE = 1e5;

        PhantomSettings of(PhantomSettings s) {
            return switch (this) {
                case STANDARD -> s;
                case FULL_MATRIX -> s.withMatrix(PhantomSettings.Matrix.FULL);
                case FLAWLESS -> {
                    PhantomSettings full = s.withMatrix(PhantomSettings.Matrix.FULL);
                    yield full.with(
                            ScannerSettings.ideal(),
                            full.series().stream().map(Protocol::still).toList());
                }
                default -> s.with(s.scanner(), s.series().stream().map(this::of).toList());
            };
        }

        private SeriesSettings of(SeriesSettings s) {
            boolean drawnOn = s.kind() == SeriesSettings.Kind.T2;
            return switch (this) {
                case HALF_SNR -> changed(s, s.slices(), s.sliceMm(), s.tiltDegrees(), s.snr() / 2);
                case DOUBLE_SNR -> changed(s, s.slices(), s.sliceMm(), s.tiltDegrees(), s.snr() * 2);
                case SLICES_3_MM -> changed(s, 40, 3, s.tiltDegrees(), s.snr());
                case SLICES_7_MM -> changed(s, 17, 7, s.tiltDegrees(), s.snr());
                case SAGITTAL ->
                    changed(s, s.slices(), s.sliceMm(), drawnOn ? new Vector(0, 90, 0) : s.tiltDegrees(), s.snr());
                case OBLIQUE ->
                    changed(s, s.slices(), s.sliceMm(), drawnOn ? new Vector(30, 20, 0) : s.tiltDegrees(), s.snr());
                default -> s;
            };
        }

        private static SeriesSettings still(SeriesSettings s) {
            Vector none = new Vector(0, 0, 0);
            return changed(s, s.slices(), s.sliceMm(), s.tiltDegrees(), NO_NOISE, none, none);
        }

        private static SeriesSettings changed(SeriesSettings s, int slices, double sliceMm, Vector tilt, double snr) {
            return changed(s, slices, sliceMm, tilt, snr, s.shiftMm(), s.turnDegrees());
        }

        private static SeriesSettings changed(
                SeriesSettings s, int slices, double sliceMm, Vector tilt, double snr, Vector shift, Vector turn) {
            return new SeriesSettings(
                    s.kind(),
                    s.description(),
                    s.columns(),
                    s.rows(),
                    slices,
                    s.pixelMm(),
                    sliceMm,
                    tilt,
                    s.centre(),
                    s.trMs(),
                    s.teMs(),
                    s.flipDegrees(),
                    s.fatSuppressed(),
                    snr,
                    shift,
                    turn,
                    s.bValues(),
                    s.phaseSeconds());
        }
    }

    /**
     * A value beside the truth.
     *
     * @param aggregation as in the table; may be empty
     * @param draws between which values the draws lay
     * @param spread of the lesion's ADC, for ADC values; 0 for others
     */
    record Comparison(
            AccuracyTrial trial,
            String feature,
            String aggregation,
            double truth,
            double found,
            Optional<Interval> draws,
            double spread) {
        String name() {
            return (feature + " " + aggregation).strip();
        }

        String line() {
            return String.join(
                    ",",
                    feature,
                    aggregation,
                    Double.toString(truth),
                    Double.toString(found),
                    draws.map(i -> i.low() + "," + i.high()).orElse(","));
        }

        double error() {
            return found - truth;
        }
    }

    String name() {
        return preset.key() + "-" + seed + "-" + protocol.name().toLowerCase(java.util.Locale.ROOT);
    }

    /** What {@code phantom --set seed=} makes the same study with. */
    long phantomSeed() {
        return 1000 * seed + preset.ordinal();
    }

    /** Writes the study unless it is there from a run before. */
    Path study(Path cache, Workers workers) throws InputException, IOException {
        Path folder = cache.resolve(name());
        PhantomSettings settings = protocol.of(preset.settings().withSeed(phantomSeed()));
        if (!Files.exists(folder)) {
            Files.createDirectories(cache);
            Phantom.write(settings, folder, workers, Progress.NONE);
        }
        return folder;
    }

    /**
     * As measured now, or, if wished, as an earlier run has kept it.
     *
     * @param draws for the intervals; 0: without
     */
    List<Comparison> run(Path cache, int draws, boolean kept, Workers workers) throws InputException, IOException {
        Path file = file(cache, draws);
        if (kept && Files.exists(file)) return withSpread(read(file));
        List<Comparison> all = withSpread(measure(cache, draws, workers));
        Files.createDirectories(file.getParent());
        Files.write(file, all.stream().map(Comparison::line).toList());
        return all;
    }

    boolean isKept(Path cache, int draws) {
        return Files.exists(file(cache, draws));
    }

    private Path file(Path cache, int draws) {
        return cache.resolve("results").resolve(name() + "-" + draws + ".csv");
    }

    private static List<Comparison> withSpread(List<Comparison> all) {
        double spread = found(all, "adc p90") - found(all, "adc p10");
        return all.stream()
                .map(c -> c.feature().startsWith("adc ")
                        ? new Comparison(
                                c.trial(), c.feature(), c.aggregation(), c.truth(), c.found(), c.draws(), spread)
                        : c)
                .toList();
    }

    private static double found(List<Comparison> all, String name) {
        return all.stream()
                .filter(c -> c.name().equals(name))
                .findFirst()
                .map(Comparison::found)
                .orElse(0.0);
    }

    private List<Comparison> read(Path file) throws IOException {
        List<Comparison> all = new ArrayList<>();
        for (String line : Files.readAllLines(file)) {
            String[] cell = line.split(",", -1);
            all.add(new Comparison(
                    this,
                    cell[0],
                    cell[1],
                    Double.parseDouble(cell[2]),
                    Double.parseDouble(cell[3]),
                    cell[4].isEmpty()
                            ? Optional.empty()
                            : Optional.of(new Interval(Double.parseDouble(cell[4]), Double.parseDouble(cell[5]))),
                    0));
        }
        return all;
    }

    private List<Comparison> measure(Path cache, int draws, Workers workers) throws InputException, IOException {
        Path folder = study(cache, workers);
        Settings settings = settings(draws);
        Study study = Study.open(folder.resolve("dicom"), workers, Progress.NONE);
        CaseFile caseFile = CaseFile.read(folder.resolve("case.yaml"));
        Outline outline =
                OutlineFile.read(folder.resolve("outline-true.dcm"), Optional.of("L1"), study, workers, Progress.NONE);
        References references = References.read(caseFile, folder, Optional.empty(), study, workers, Progress.NONE);
        List<PlacedSeries> placed =
                CaseMeasurement.placed(settings, study, outline, new TreeSet<>(), workers, Progress.NONE);
        LesionSources sources = LesionSources.of(placed, outline, references, settings, workers, Progress.NONE);
        Mask around = outline.mask().crop(sources.outlineRoom());
        LesionDraw.Drawn asIs = LesionDraw.asIs(sources, around, workers);
        LesionImages images = asIs.images();
        List<SteadyValue> values = SteadyValue.of(
                sources, images, asIs.masks(), around, MethodErrors.NONE, settings, workers, Progress.NONE);
        return compared(folder, values);
    }

    private static Settings settings(int draws) {
        Settings s = Settings.standard();
        Stability.Settings t = s.stability();
        return new Settings(
                s.lesion(),
                s.align(),
                s.bias(),
                s.adcUnit(),
                s.unknownPhaseSeconds(),
                s.outline(),
                new Stability.Settings(draws, t.seed(), t.wide(), t.outline(), t.alignmentMm()));
    }

    private List<Comparison> compared(Path folder, List<SteadyValue> values) throws InputException {
        Map<String, SteadyValue> byName = new HashMap<>();
        for (SteadyValue value : values) byName.put(name(value.placed().value().value()), value);
        List<Comparison> all = new ArrayList<>();
        for (List<String> row : CsvTable.read(folder.resolve("truth.csv")).rows()) {
            String name = (row.get(0) + " " + row.get(1)).strip();
            SteadyValue value = byName.get(name);
            if (value == null || row.get(2).isEmpty()) continue;
            var number = value.placed().value().value().measurement().number();
            if (number.isPresent())
                all.add(new Comparison(
                        this,
                        row.get(0),
                        row.get(1),
                        Double.parseDouble(row.get(2)),
                        number.getAsDouble(),
                        value.steadiness().flatMap(Steadiness::interval),
                        0));
        }
        return all;
    }

    private static String name(FeatureValue value) {
        return (value.definition().feature() + " " + value.aggregation().name()).strip();
    }
}
