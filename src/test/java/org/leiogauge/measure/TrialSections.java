// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.io.UncheckedIOException;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;

/**
 * The sections of docs/accuracy-outline.md on seeded trials.
 *
 * <p>Taken from the folder, where they are there: {@code trials-dynamic.csv}, {@code trials-dwi.csv}, {@code
 * faults-dynamic.csv}, {@code faults-dwi.csv} and all of them with {@code -demo}, which AlignmentTrials prints, and {@code
 * references.csv}, which ReferenceTrials prints, and {@code baseline-volumes.csv}, which BaselineVolumes prints.
 */
final class TrialSections {
    private static final String HALF = "half a voxel of the latter";
    private static final String ENHANCED = "T2-weighted and post-contrast images";
    private static final String DIFFUSION = "T2- and diffusion-weighted images, with distortion";

    private final TrialRows rows;
    private final StringBuilder text = new StringBuilder();

    TrialSections(Path folder) {
        this.rows = new TrialRows(folder);
    }

    String text() throws IOException {
        alignment("trials-dynamic.csv", ENHANCED + ", full size", "1 mm");
        alignment("trials-dynamic-demo.csv", ENHANCED + ", demo size", "1 mm");
        alignment("trials-dwi.csv", DIFFUSION + ", full size", HALF);
        alignment("trials-dwi-demo.csv", DIFFUSION + ", demo size", HALF);
        faults();
        references();
        baselines();
        return text.toString().stripTrailing() + "\n";
    }

    /** One trial of the registration: trial,preset,before_mm,after_mm,residual_mm,limit_mm,outcome,fault. */
    private record Trial(List<String> row) {
        double before() {
            return Double.parseDouble(row.get(2));
        }

        double after() {
            return Double.parseDouble(row.get(3));
        }

        String residual() {
            return row.get(4);
        }

        double limit() {
            return Double.parseDouble(row.get(5));
        }

        String outcome() {
            return row.get(6).toLowerCase(Locale.ROOT).replace('_', ' ');
        }

        String fault() {
            return row.get(7);
        }

        boolean isNear() {
            return after() <= limit();
        }

        boolean isSilent() {
            return !isNear() && !residual().isEmpty() && Double.parseDouble(residual()) <= limit();
        }
    }

    private List<Trial> trials(String file) throws IOException {
        return rows.of(file).stream().map(Trial::new).toList();
    }

    private void alignment(String file, String what, String wanted) throws IOException {
        List<Trial> trials = trials(file);
        if (trials.isEmpty()) return;
        List<Trial> far = trials.stream().filter(trial -> !trial.isNear()).toList();
        int near = trials.size() - far.size();
        long silent = far.stream().filter(Trial::isSilent).count();
        double[] after = trials.stream().mapToDouble(Trial::after).sorted().toArray();
        line("## Alignment of " + what);
        line("");
        line(
                "%d seeded trials over all presets, moved by up to 10 mm and 5° (error inside the lesion before:",
                after.length);
        line(
                "up to %.1f mm). Mean error inside the lesion after: median %.2f mm, largest %.2f mm.",
                trials.stream().mapToDouble(Trial::before).max().orElse(0),
                after[after.length / 2],
                after[after.length - 1]);
        line(
                "Within %s (%.2f mm): %d of %d, %.0f %%; wanted 95 %%. Of the others %d said so themselves (no residual, or one above"
                        + " the limit), %d did not.",
                wanted,
                trials.get(0).limit(),
                near,
                trials.size(),
                100.0 * near / trials.size(),
                far.size() - silent,
                silent);
        line("");
        for (Trial trial : far)
            line(
                    "- trial %s, %s: %.2f mm after %.2f mm, residual said %s, %s",
                    trial.row().get(0),
                    trial.row().get(1),
                    trial.after(),
                    trial.before(),
                    trial.residual().isEmpty() ? "none" : trial.residual() + " mm",
                    trial.outcome());
        if (!far.isEmpty()) line("");
    }

    private void faults() throws IOException {
        List<String> head = List.of("faults-dynamic", "faults-dwi", "faults-dynamic-demo", "faults-dwi-demo");
        if (head.stream().allMatch(file -> isAbsent(file + ".csv"))) return;
        line("## Alignment that must fail, or may");
        line("");
        line(
                "The same trials with a fault added to the other series, in turns over all presets. A failure is silent if the");
        line(
                "correspondence is off by more than the limit (1 mm; of diffusion-weighted images half a voxel) and the residual");
        line(
                "claims to be within it. How the others said so: the outcomes of `align`, all but `improved` keeping the patient");
        line("coordinates. Series that still could be aligned count as within the limit.");
        line("");
        line("| other series | fault | trials | within the limit | said so | silent | outcomes |");
        line("|---|---|---|---|---|---|---|");
        faults("faults-dynamic.csv", "post-contrast, full size");
        faults("faults-dynamic-demo.csv", "post-contrast, demo size");
        faults("faults-dwi.csv", "diffusion-weighted, full size");
        faults("faults-dwi-demo.csv", "diffusion-weighted, demo size");
        line("");
    }

    private boolean isAbsent(String file) {
        try {
            return rows.of(file).isEmpty();
        } catch (IOException e) {
            throw new UncheckedIOException(e);
        }
    }

    private void faults(String file, String series) throws IOException {
        Map<String, List<Trial>> by = trials(file).stream()
                .collect(Collectors.groupingBy(Trial::fault, LinkedHashMap::new, Collectors.toList()));
        by.forEach((fault, trials) -> {
            long near = trials.stream().filter(Trial::isNear).count();
            long silent = trials.stream().filter(Trial::isSilent).count();
            Map<String, Long> outcomes = trials.stream()
                    .collect(Collectors.groupingBy(Trial::outcome, LinkedHashMap::new, Collectors.counting()));
            line(
                    "| %s | %s | %d | %d | %d | %d | %s |",
                    series,
                    fault,
                    trials.size(),
                    near,
                    trials.size() - near - silent,
                    silent,
                    outcomes.entrySet().stream()
                            .map(e -> e.getKey() + " " + e.getValue())
                            .collect(Collectors.joining(", ")));
        });
    }

    // preset,tissue,right,…
    private void references() throws IOException {
        List<List<String>> all = rows.of("references.csv");
        if (all.isEmpty()) return;
        line("## Proposed reference regions, demo size");
        line("");
        line(
                "`outline --propose-references` with the true region of each preset, several seeds each. Each cell: proposed balls that");
        line(
                "lie wholly in the tissue they are named for, of those proposed, and the least share of one that does. The favourable case:");
        line("every lesion of `phantom` lies in myometrium or pushes 5 mm of it before it.");
        line("");
        List<String> tissues = all.stream().map(row -> row.get(1)).distinct().toList();
        line("| preset | " + String.join(" | ", tissues) + " |");
        line("|---|" + "---|".repeat(tissues.size()));
        all.stream()
                .map(row -> row.get(0))
                .distinct()
                .forEach(preset -> line("| " + preset + " | "
                        + tissues.stream()
                                .map(tissue -> cell(all.stream()
                                        .filter(row -> row.get(0).equals(preset)
                                                && row.get(1).equals(tissue))
                                        .toList()))
                                .collect(Collectors.joining(" | "))
                        + " |"));
        line("");
        line("All together: "
                + tissues.stream()
                        .map(tissue -> tissue + " "
                                + cell(all.stream()
                                        .filter(row -> row.get(1).equals(tissue))
                                        .toList()))
                        .collect(Collectors.joining("; "))
                + ".");
        line("");
    }

    private static String cell(List<List<String>> rows) {
        double[] shares = rows.stream()
                .filter(row -> !row.get(2).isEmpty())
                .mapToDouble(row -> Double.parseDouble(row.get(2)))
                .sorted()
                .toArray();
        long whole = Arrays.stream(shares).filter(share -> share == 1).count();
        String none = shares.length < rows.size() ? ", " + (rows.size() - shares.length) + " without" : "";
        return shares.length == 0
                ? "none"
                : String.format(Locale.ROOT, "%d of %d, %.0f %%%s", whole, shares.length, 100 * shares[0], none);
    }

    // job,trial,first,second,seconds
    private void baselines() throws IOException {
        List<List<String>> all = rows.of("baseline-volumes.csv");
        if (all.isEmpty()) return;
        line("## Beside general-purpose libraries on their volumes");
        line("");
        line(
                "The volumes on which general-purpose libraries were measured. Lesion: an irregular one of 59 mL in texture and noise,");
        line(
                "beside a neighbour of nearly its signal; Dice / 95 % Hausdorff distance in mm / seconds, from a sloppy reader's outline");
        line(
                "(every fourth slice, 1.5 mm off the line; three of them), the libraries from seeds. Bias field: coefficient of variation");
        line(
                "of the true field over the head, and of what is left of it. Seconds: two threads, warm, best of several runs.");
        line("");
        line("| job | ours | library | wanted | |");
        line("|---|---|---|---|---|");
        all.stream().filter(row -> !row.get(0).equals("bias field")).forEach(row -> {
            boolean refined = row.get(0).equals("refined");
            boolean met = number(row, 2) >= 0.985 && number(row, 3) <= 1 && number(row, 4) <= 0.5;
            line(
                    "| lesion, reader %d, %s | %s / %s%s | %s | %s | %s |",
                    1 + (int) number(row, 1),
                    row.get(0),
                    row.get(2),
                    row.get(3),
                    refined ? " / " + row.get(4) : "",
                    refined ? "scikit-image watershed 0.983 / 1.0 / 0.29" : "",
                    refined ? "0.985 / 1.0 / 0.5" : "",
                    refined ? met ? "met" : "missed" : "");
        });
        all.stream()
                .filter(row -> row.get(0).equals("bias field"))
                .forEach(row -> line(
                        "| bias field | %s → %s, %s s | ITK N4 0.227 → 0.130, 5.23 s | faster, less left | %s |",
                        row.get(2),
                        row.get(3),
                        row.get(4),
                        number(row, 3) < 0.130 && number(row, 4) < 5.23 ? "met" : "missed"));
        line("");
    }

    private static double number(List<String> row, int column) {
        return Double.parseDouble(row.get(column));
    }

    private void line(String format, Object... values) {
        text.append(String.format(Locale.ROOT, format, values)).append('\n');
    }

    private void line(String line) {
        text.append(line).append('\n');
    }
}
