// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
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
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;

/**
 * Writes docs/accuracy.md: measured against true values of invented lesions.
 *
 * <p>Run {@code main} with the number of seeds, of draws, of threads, and the presets (all without); with a first word
 * {@code show} it prints each comparison instead of writing the document. Studies are kept under target/accuracy.
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
    // Of each kind one: plain, necrotic, bleeding, rough.
    private static final List<Preset> SUBSET =
            List.of(Preset.DEMO, Preset.ORDINARY, Preset.CYSTIC, Preset.RED, Preset.SARCOMA);

    /** How close a value shall come: within so much, or within such a share of the truth. */
    private record Target(double absolute, double share, String words) {
        boolean isMet(Comparison c) {
            return Math.abs(c.error()) <= Math.max(absolute, share * Math.abs(c.truth()));
        }
    }

    private final List<Comparison> all = new ArrayList<>();
    private final StringBuilder text = new StringBuilder();

    private AccuracyTable() {}

    public static void main(String[] words) throws InputException, IOException {
        List<String> wish = new ArrayList<>(Arrays.asList(words));
        boolean show = wish.remove("show");
        boolean others = wish.remove("others");
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
            table.run(trials(presets, seeds, show && !others), draws, workers, show);
        }
        if (show) table.summarise(seeds, draws);
        else table.document(seeds, draws);
        if (show) System.out.println(table.text);
        else Files.writeString(DOCUMENT, table.text);
    }

    private static List<AccuracyTrial> trials(List<Preset> presets, int seeds, boolean standardOnly) {
        List<AccuracyTrial> trials = new ArrayList<>();
        for (Preset preset : presets)
            for (int seed = 1; seed <= seeds; seed++) trials.add(new AccuracyTrial(preset, seed, Protocol.STANDARD));
        if (standardOnly) return trials;
        for (Protocol protocol : OTHERS)
            for (Preset preset : SUBSET) trials.add(new AccuracyTrial(preset, 1, protocol));
        return trials;
    }

    private void run(List<AccuracyTrial> trials, int draws, Workers workers, boolean show)
            throws InputException, IOException {
        for (AccuracyTrial trial : trials) {
            List<Comparison> found = trial.run(CACHE, trial.protocol() == Protocol.STANDARD ? draws : 0, workers);
            all.addAll(found);
            System.err.println(trial.name());
            if (show)
                for (Comparison c : found)
                    System.out.printf(
                            Locale.ROOT,
                            "%s,%s,%.4g,%.4g,%.4g,%s,%s%n",
                            trial.name(),
                            c.feature(),
                            c.truth(),
                            c.found(),
                            c.error(),
                            target(c.feature())
                                    .map(t -> t.isMet(c) ? "" : "MISS")
                                    .orElse(""),
                            c.interval()
                                    .map(i -> String.format(
                                            Locale.ROOT,
                                            "%.4g..%.4g%s",
                                            i.low(),
                                            i.high(),
                                            c.isCovered() ? "" : " not covered"))
                                    .orElse(""));
        }
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
        return !c.feature().equals("margin sharpness") || c.truth() >= 1;
    }

    private void document(int seeds, int draws) {
        line("# How accurate the lesion measures are");
        line("");
        line(
                "Written by `AccuracyTable` (test sources); not edited by hand. All lesions are invented: the ten presets of");
        line(
                "`phantom`, with noise, coil bias, movement between series and distortion of the diffusion images, measured");
        line(
                "as `measure` does with the true outline. The truth is that of the continuous lesion (`truth.csv`), which the");
        line("program does not see. Small matrix of the demonstration: 5 mm slices for T2, 6 mm for T1 and diffusion,");
        line("pixels of 1.4 to 3 mm, so the hardest case for partial volume.");
        line("");
        summarise(seeds, draws);
        protocols();
    }

    private void summarise(int seeds, int draws) {
        List<Comparison> standard = of(c -> c.trial().protocol() == Protocol.STANDARD);
        long presets = standard.stream().map(c -> c.trial().preset()).distinct().count();
        line("## At the standard protocol");
        line("");
        line(presets + " presets × " + seeds
                + " seeds. Error: measured less true. Spread: standard deviation of the error.");
        line("Wanted: what the project asked for; met: share of the lesions that came so close.");
        line(draws == 0 ? "" : "Covered: share of the stated intervals (" + draws + " draws) that hold the truth.");
        line("");
        line("| feature | n | truth, from–to | mean error | spread | largest | wanted | met | covered |");
        line("|---|---|---|---|---|---|---|---|---|");
        grouped(standard).forEach((feature, list) -> line(row(feature, list)));
        line("");
        List<Comparison> wanted = standard.stream()
                .filter(c -> target(c.feature()).isPresent() && counts(c))
                .toList();
        long met = wanted.stream()
                .filter(c -> target(c.feature()).orElseThrow().isMet(c))
                .count();
        line(String.format(Locale.ROOT, "%d of %d wanted values are met. Missed:", met, wanted.size()));
        line("");
        wanted.stream()
                .filter(c -> !target(c.feature()).orElseThrow().isMet(c))
                .sorted(Comparator.comparing(Comparison::feature))
                .forEach(
                        c -> line("- " + c.feature() + ", " + c.trial().preset().key() + ", seed "
                                + c.trial().seed() + ": " + number(c.found()) + ", true " + number(c.truth())));
        line("");
        coverage(standard);
    }

    private void coverage(List<Comparison> standard) {
        List<Comparison> with =
                standard.stream().filter(c -> c.interval().isPresent()).toList();
        if (with.isEmpty()) return;
        long covered = with.stream().filter(Comparison::isCovered).count();
        line(String.format(
                Locale.ROOT,
                "Of %d intervals (preset × seed × feature) %.1f %% hold the truth.",
                with.size(),
                100.0 * covered / with.size()));
        line("");
    }

    private static String row(String feature, List<Comparison> list) {
        List<Comparison> wanted = list.stream().filter(AccuracyTable::counts).toList();
        Optional<Target> target = target(feature);
        String met = target.map(t -> percent(wanted.stream().filter(t::isMet).count(), wanted.size()))
                .orElse("");
        List<Comparison> with =
                list.stream().filter(c -> c.interval().isPresent()).toList();
        return "| " + feature + " | " + list.size() + " | "
                + number(list.stream().mapToDouble(Comparison::truth).min().orElse(0)) + "–"
                + number(list.stream().mapToDouble(Comparison::truth).max().orElse(0)) + " | " + signed(mean(list))
                + " | " + number(spread(list)) + " | "
                + signed(list.stream()
                        .mapToDouble(Comparison::error)
                        .boxed()
                        .max(Comparator.comparingDouble(Math::abs))
                        .orElse(0.0))
                + " | " + target.map(Target::words).orElse("") + " | " + met + " | "
                + (with.isEmpty()
                        ? ""
                        : percent(with.stream().filter(Comparison::isCovered).count(), with.size()))
                + " |";
    }

    private void protocols() {
        line("## The same lesions, scanned otherwise");
        line("");
        line("Mean error over " + SUBSET.stream().map(Preset::key).collect(Collectors.joining(", "))
                + " with one seed each; spread in brackets. Sagittal and oblique: the T2-weighted");
        line("series, which the outline is drawn on. 3 mm and 7 mm: slices of all series.");
        line("");
        List<Protocol> columns = new ArrayList<>(List.of(Protocol.STANDARD));
        columns.addAll(OTHERS);
        line("| feature | "
                + columns.stream()
                        .map(p -> p.name().toLowerCase(Locale.ROOT).replace('_', ' '))
                        .collect(Collectors.joining(" | "))
                + " |");
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

    private static String cell(List<Comparison> list) {
        return list.isEmpty() ? "" : signed(mean(list)) + " (" + number(spread(list)) + ")";
    }

    private List<Comparison> of(Predicate<Comparison> which) {
        return all.stream().filter(which).toList();
    }

    private static Map<String, List<Comparison>> grouped(List<Comparison> list) {
        return list.stream()
                .collect(Collectors.groupingBy(Comparison::feature, LinkedHashMap::new, Collectors.toList()));
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
