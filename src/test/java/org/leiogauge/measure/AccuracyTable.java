// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.EnumMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.Optional;
import java.util.function.Predicate;
import java.util.stream.Collectors;
import java.util.stream.Stream;
import org.leiogauge.measure.AccuracyTrial.Comparison;
import org.leiogauge.measure.AccuracyTrial.Protocol;
import org.leiogauge.phantom.Preset;
import org.leiogauge.stability.Stability;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import org.leiogauge.task.Yaml;

/**
 * Writes docs/accuracy.md, measured against true values of invented lesions, and the method errors that the program's
 * intervals hold.
 *
 * <p>Run {@code main} with the number of seeds, of draws, of threads, and the presets (all without). First words: {@code
 * show} prints each comparison instead of writing anything; {@code resume} takes what an earlier run has measured and kept;
 * {@code kept} takes that alone and measures nothing.
 * The method errors are calibrated on as many further seeds, which the document's tables do not look at. Studies and
 * results are kept under target/accuracy.
 */
final class AccuracyTable {
    private static final Path DOCUMENT = Path.of("docs/accuracy.md");
    private static final Path CACHE = Path.of("target/accuracy");
    private static final List<Protocol> OTHERS = List.of(
            Protocol.HALF_SNR,
            Protocol.DOUBLE_SNR,
            Protocol.SLICES_3_MM,
            Protocol.SLICES_7_MM,
            Protocol.SAGITTAL,
            Protocol.OBLIQUE);
    private static final Path ERRORS = Path.of("src/main/resources/" + MethodErrorFile.NAME);
    private static final String YAML_HEAD = """
            # The error of the method, per lesion-level feature: what the draws do not show. Written by AccuracyTable (test
            # sources); not edited by hand. Half-width in the feature's unit (absolute) or as a share of the value (relative);
            # least, most: what the feature can be; range: by how much the truth differed between the lesions.
            """;
    private static final MethodErrorFile NOTHING = new MethodErrorFile("", 0, Map.of());
    private static final double WIDE = Stability.Settings.standard().wide();
    // Of each kind one: plain, necrotic, bleeding, rough.
    private static final List<Preset> SUBSET =
            List.of(Preset.DEMO, Preset.ORDINARY, Preset.CYSTIC, Preset.RED, Preset.SARCOMA);

    /** Whether results of earlier runs are used. */
    private enum Kept {
        NOT,
        FIRST,
        ALONE
    }

    /** How close a value shall come: within so much, or within such a share of the truth. */
    private record Target(double absolute, double share, String words) {
        boolean isMet(Comparison c) {
            return Math.abs(c.error()) <= Math.max(absolute, share * Math.abs(c.truth()));
        }
    }

    private final List<Comparison> all = new ArrayList<>();
    private final List<Comparison> calibration = new ArrayList<>();
    private final StringBuilder text = new StringBuilder();

    private AccuracyTable() {}

    public static void main(String[] words) throws InputException, IOException {
        List<String> wish = new ArrayList<>(Arrays.asList(words));
        boolean show = wish.remove("show");
        Kept kept = wish.remove("kept") ? Kept.ALONE : wish.remove("resume") ? Kept.FIRST : Kept.NOT;
        int seeds = Integer.parseInt(wish.remove(0));
        int draws = Integer.parseInt(wish.remove(0));
        int threads = Integer.parseInt(wish.remove(0));
        List<Preset> presets = new ArrayList<>();
        for (String key : wish) presets.add(Preset.named(key));
        if (presets.isEmpty())
            presets = Stream.of(Preset.values())
                    .filter(p -> p != Preset.ICE_WATER)
                    .toList();
        AccuracyTable table = new AccuracyTable();
        try (Workers workers = Workers.of(threads)) {
            table.all.addAll(run(trials(presets, seeds), draws, kept, workers, show));
            if (!show) {
                table.calibration.addAll(run(calibration(presets, seeds), 0, kept, workers, false));
                table.all.addAll(run(otherwise(), draws, kept, workers, false));
                for (Protocol protocol : List.of(Protocol.FULL_MATRIX, Protocol.FLAWLESS))
                    table.all.addAll(run(once(presets, protocol), 0, kept, workers, false));
            }
        }
        if (show) {
            table.summarise(seeds);
            System.out.println(table.text);
        } else table.document(seeds, draws);
    }

    private static List<AccuracyTrial> trials(List<Preset> presets, int seeds) {
        List<AccuracyTrial> trials = new ArrayList<>();
        for (int seed = 1; seed <= seeds; seed++)
            for (Preset preset : presets) trials.add(new AccuracyTrial(preset, seed, Protocol.STANDARD));
        return trials;
    }

    private static List<AccuracyTrial> otherwise() {
        List<AccuracyTrial> trials = new ArrayList<>();
        for (Protocol protocol : OTHERS)
            for (Preset preset : SUBSET) trials.add(new AccuracyTrial(preset, 1, protocol));
        return trials;
    }

    private static List<AccuracyTrial> once(List<Preset> presets, Protocol protocol) {
        return presets.stream()
                .map(preset -> new AccuracyTrial(preset, 1, protocol))
                .toList();
    }

    private static List<AccuracyTrial> calibration(List<Preset> presets, int seeds) {
        List<AccuracyTrial> trials = new ArrayList<>();
        for (int seed = seeds + 1; seed <= 2 * seeds; seed++)
            for (Preset preset : presets) trials.add(new AccuracyTrial(preset, seed, Protocol.STANDARD));
        for (Protocol protocol : List.of(Protocol.HALF_SNR, Protocol.SLICES_7_MM))
            for (Preset preset : SUBSET) trials.add(new AccuracyTrial(preset, seeds + 1, protocol));
        return trials;
    }

    private static List<Comparison> run(List<AccuracyTrial> trials, int draws, Kept kept, Workers workers, boolean show)
            throws InputException, IOException {
        List<Comparison> all = new ArrayList<>();
        for (AccuracyTrial trial : trials) {
            if (kept == Kept.ALONE && !trial.isKept(CACHE, draws)) continue;
            List<Comparison> found = trial.run(CACHE, draws, kept != Kept.NOT, workers);
            all.addAll(found);
            System.err.println(trial.name());
            if (show) found.forEach(AccuracyTable::print);
        }
        return all;
    }

    private static void print(Comparison c) {
        System.out.printf(
                Locale.ROOT,
                "%s,%s,%.4g,%.4g,%.4g,%s,%s%n",
                c.trial().name(),
                c.name(),
                c.truth(),
                c.found(),
                c.error(),
                target(c.name()).map(t -> t.isMet(c) ? "" : "MISS").orElse(""),
                c.draws()
                        .map(i -> String.format(Locale.ROOT, "%.4g..%.4g", i.low(), i.high()))
                        .orElse(""));
    }

    private static Optional<Target> target(String feature) {
        if (feature.equals("volume")) return Optional.of(new Target(0, 0.02, "2 %"));
        if (feature.equals("non-enhancing fraction") || feature.equals("t1 bright fraction"))
            return Optional.of(new Target(0.03, 0, "0.03"));
        if (feature.startsWith("relative enhancement")) return Optional.of(new Target(5, 0, "5 points"));
        if (List.of("adc p10", "adc p25", "adc p50", "adc p75", "adc p90").contains(feature))
            return Optional.of(new Target(0.05, 0, "0.05"));
        if (feature.startsWith("t2 signal ratio")) return Optional.of(new Target(0, 0.05, "5 %"));
        if (feature.equals("margin sharpness")) return Optional.of(new Target(0.5, 0, "0.5 mm, from 1 mm on"));
        return Optional.empty();
    }

    private static boolean counts(Comparison c) {
        return !c.name().equals("margin sharpness") || c.truth() >= 1;
    }

    private void document(int seeds, int draws) throws IOException {
        line("# How accurate the lesion measures are");
        line("");
        line(
                "Written by `AccuracyTable` (test sources); not edited by hand. All lesions are invented: the ten presets of");
        line(
                "`phantom`, with noise, coil bias, movement between series and distortion of the diffusion images, measured");
        line(
                "as `measure` does with the true outline. The truth is that of the continuous lesion (`truth.csv`), which the");
        line("program does not see. Small matrix of the demonstration: 5 mm slices for T2, 6 mm for T1 and diffusion,");
        line(
                "pixels of 1.4 to 3 mm, so the hardest case for partial volume. Two more are held by tests: six surfaces of graded");
        line(
                "roughness are ranked right for 40 of 40 seeds (`MarginShapeTest`), and border widths of 1 to 6 mm are found within");
        line("0.5 mm (`MarginSharpnessTest`).");
        line("");
        summarise(seeds);
        coverage(seeds, draws);
        protocols();
        fullSize();
        flawless();
        Files.writeString(DOCUMENT, text);
    }

    private void summarise(int seeds) {
        List<Comparison> standard = standard();
        line("## At the standard protocol");
        line("");
        line(lesions(standard) + " lesions: presets, each with up to " + seeds
                + " seeds. Error: measured less true. Spread: standard deviation of the error.");
        line("Wanted: what the project asked for; met: share of the lesions that came so close.");
        line("");
        errors(standard);
    }

    private void errors(List<Comparison> of) {
        line("| feature | n | truth, from–to | mean error | spread | largest | wanted | met |");
        line("|---|---|---|---|---|---|---|---|");
        grouped(of).forEach((feature, list) -> line(row(feature, list)));
        line("");
        List<Comparison> wanted = of.stream()
                .filter(c -> target(c.name()).isPresent() && counts(c))
                .toList();
        List<Comparison> missed = wanted.stream()
                .filter(c -> !target(c.name()).orElseThrow().isMet(c))
                .sorted(Comparator.comparing(Comparison::name))
                .toList();
        line((wanted.size() - missed.size()) + " of " + wanted.size() + " wanted values are met. Missed:");
        line("");
        for (Comparison c : missed)
            line("- " + c.name() + ", " + c.trial().preset().key() + ", seed "
                    + c.trial().phantomSeed() + ": " + number(c.found()) + ", true " + number(c.truth()));
        line("");
    }

    private List<Comparison> standard() {
        return of(c -> c.trial().protocol() == Protocol.STANDARD);
    }

    private void coverage(int seeds, int draws) throws IOException {
        List<Comparison> with =
                standard().stream().filter(c -> c.draws().isPresent()).toList();
        MethodErrorFile errors = IntervalCalibration.of(calibration, about(seeds));
        Map<Preset, MethodErrorFile> without = new EnumMap<>(Preset.class);
        for (Preset preset : Preset.values())
            without.put(
                    preset,
                    IntervalCalibration.of(
                            calibration.stream()
                                    .filter(c -> c.trial().preset() != preset)
                                    .toList(),
                            ""));
        Files.writeString(ERRORS, YAML_HEAD + Yaml.PLAIN.text(errors));
        Predicate<Comparison> stated = c -> IntervalCalibration.covers(c, errors);
        Predicate<Comparison> strange =
                c -> IntervalCalibration.covers(c, without.get(c.trial().preset()));
        Predicate<Comparison> drawn = c -> IntervalCalibration.covers(c, NOTHING);
        line("## Whether the intervals hold the truth");
        line("");
        line("The same lesions. Interval: " + draws
                + " draws of outline, alignment and noise, together with the error of the");
        line("method (`" + MethodErrorFile.NAME + "`, in quadrature), which was found on other lesions: "
                + about(seeds));
        line(
                "Stated: share of the intervals that hold the truth. Preset left out: the same, had the error of the method been");
        line(
                "found without lesions of the preset that is measured: what a lesion of a kind of its own may expect. Draws");
        line(
                "alone: without the error of the method. Half-width: median of the stated ones. Caution: share that is flagged");
        line("as wide. Invented lesions and scans: none of this is known of patients.");
        line("");
        line("| feature | n | stated | preset left out | draws alone | half-width | caution |");
        line("|---|---|---|---|---|---|---|");
        grouped(with)
                .forEach((feature, list) -> line("| " + feature + " | " + list.size() + " | " + share(list, stated)
                        + " | " + share(list, strange) + " | " + share(list, drawn) + " | "
                        + number(halfWidth(list, errors))
                        + " | " + share(list, c -> isWide(c, errors)) + " |"));
        line("| all | " + with.size() + " | " + share(with, stated) + " | " + share(with, strange) + " | "
                + share(with, drawn) + " |  | " + share(with, c -> isWide(c, errors)) + " |");
        line("");
        line("With the draws alone " + share(with, c -> isWide(c, NOTHING)) + " were flagged as wide.");
        line("");
        coverageOtherwise(stated, strange);
    }

    private void coverageOtherwise(Predicate<Comparison> stated, Predicate<Comparison> strange) {
        line("The same, of lesions scanned otherwise, all features together:");
        line("");
        line("| scanned | n | stated | preset left out |");
        line("|---|---|---|---|");
        for (Protocol protocol : OTHERS) {
            List<Comparison> of =
                    of(c -> c.trial().protocol() == protocol && c.draws().isPresent());
            if (!of.isEmpty())
                line("| " + words(protocol) + " | " + of.size() + " | " + share(of, stated) + " | " + share(of, strange)
                        + " |");
        }
        line("");
    }

    private String about(int seeds) {
        String scanned = calibration.stream()
                .map(c -> words(c.trial().protocol()))
                .distinct()
                .collect(Collectors.joining(", "));
        return lesions(calibration) + " lesions of the same presets with other seeds, from " + (seeds + 1)
                + " on, scanned: " + scanned + ".";
    }

    private static long lesions(List<Comparison> list) {
        return list.stream().map(Comparison::trial).distinct().count();
    }

    private static boolean isWide(Comparison c, MethodErrorFile errors) {
        return IntervalCalibration.error(c, errors).isWide(c.found(), IntervalCalibration.stated(c, errors), WIDE);
    }

    private static double halfWidth(List<Comparison> list, MethodErrorFile errors) {
        double[] sorted = list.stream()
                .map(c -> IntervalCalibration.stated(c, errors))
                .mapToDouble(i -> (i.high() - i.low()) / 2)
                .sorted()
                .toArray();
        return sorted[sorted.length / 2];
    }

    private static String share(List<Comparison> list, Predicate<Comparison> which) {
        return percent(list.stream().filter(which).count(), list.size());
    }

    private static String row(String feature, List<Comparison> list) {
        List<Comparison> wanted = list.stream().filter(AccuracyTable::counts).toList();
        Optional<Target> target = target(feature);
        String met = target.map(t -> share(wanted, t::isMet)).orElse("");
        return "| " + feature + " | " + list.size() + " | "
                + number(list.stream().mapToDouble(Comparison::truth).min().orElse(0)) + "–"
                + number(list.stream().mapToDouble(Comparison::truth).max().orElse(0)) + " | " + signed(mean(list))
                + " | " + number(spread(list)) + " | "
                + signed(list.stream()
                        .mapToDouble(Comparison::error)
                        .boxed()
                        .max(Comparator.comparingDouble(Math::abs))
                        .orElse(0.0))
                + " | " + target.map(Target::words).orElse("") + " | " + met + " |";
    }

    private void protocols() {
        line("## The same lesions, scanned otherwise");
        line("");
        line("Mean error over " + SUBSET.stream().map(Preset::key).collect(Collectors.joining(", "))
                + " with one seed each; spread in brackets. Sagittal and oblique: the T2-weighted");
        line("series, which the outline is drawn on. 3 mm and 7 mm: slices of all series.");
        line("");
        List<Protocol> columns = new ArrayList<>(List.of(Protocol.STANDARD));
        List<Protocol> lacking = OTHERS.stream().filter(p -> !isWhole(p)).toList();
        columns.addAll(OTHERS);
        columns.removeAll(lacking);
        if (!lacking.isEmpty()) {
            line("Not measured for this edition: "
                    + lacking.stream().map(AccuracyTable::words).collect(Collectors.joining(", ")) + ".");
            line("");
        }
        line("| feature | " + columns.stream().map(AccuracyTable::words).collect(Collectors.joining(" | ")) + " |");
        line("|---|" + "---|".repeat(columns.size()));
        grouped(of(c -> SUBSET.contains(c.trial().preset()) && c.trial().seed() == 1))
                .forEach((feature, list) -> line("| " + feature + " | "
                        + columns.stream()
                                .map(p -> cell(list.stream()
                                        .filter(c -> c.trial().protocol() == p)
                                        .toList()))
                                .collect(Collectors.joining(" | "))
                        + " |"));
    }

    private void fullSize() {
        List<Comparison> full = of(c -> c.trial().protocol() == Protocol.FULL_MATRIX);
        if (full.isEmpty()) return;
        line("");
        line("## At full size");
        line("");
        line(lesions(full)
                + " lesions: the presets with one seed each, as large a matrix as scanners make (T2 0.75 mm, 4 mm");
        line("slices), the demonstration's signal-to-noise ratios. Columns as in the first table.");
        line("");
        errors(full);
    }

    private void flawless() {
        List<Comparison> flawless = of(c ->
                c.trial().protocol() == Protocol.FLAWLESS && target(c.name()).isPresent());
        if (flawless.isEmpty()) return;
        line("## At full size, without noise, coil field, distortion and movement");
        line("");
        line(
                "The same lesions in images that no scanner makes. What is missed here, too, is the doing of voxels that hold two");
        line("tissues: where a percentile falls between those of two tissues, few such voxels move it far.");
        line("");
        errors(flawless);
    }

    // A column of other lesions could not be compared.
    private boolean isWhole(Protocol protocol) {
        return lesions(of(c -> c.trial().protocol() == protocol)) == SUBSET.size();
    }

    private static String words(Protocol protocol) {
        return protocol.name().toLowerCase(Locale.ROOT).replace('_', ' ');
    }

    private static String cell(List<Comparison> list) {
        return list.isEmpty() ? "" : signed(mean(list)) + " (" + number(spread(list)) + ")";
    }

    private List<Comparison> of(Predicate<Comparison> which) {
        return all.stream().filter(which).toList();
    }

    private static Map<String, List<Comparison>> grouped(List<Comparison> list) {
        return list.stream().collect(Collectors.groupingBy(Comparison::name, LinkedHashMap::new, Collectors.toList()));
    }

    private static double mean(List<Comparison> list) {
        return list.stream().mapToDouble(Comparison::error).average().orElse(0);
    }

    private static double spread(List<Comparison> list) {
        double mean = mean(list);
        return Math.sqrt(list.stream()
                .mapToDouble(c -> (c.error() - mean) * (c.error() - mean))
                .average()
                .orElse(0));
    }

    private static String percent(long part, int of) {
        return of == 0 ? "" : String.format(Locale.ROOT, "%.0f %%", 100.0 * part / of);
    }

    private static String number(double value) {
        return Math.abs(value) >= 1000
                ? String.format(Locale.ROOT, "%.0f", value)
                : String.format(Locale.ROOT, "%.3g", value);
    }

    private static String signed(double value) {
        return (value > 0 ? "+" : "") + number(value);
    }

    private void line(String line) {
        text.append(line).append('\n');
    }
}
