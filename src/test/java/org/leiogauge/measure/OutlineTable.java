// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.stream.Collectors;
import org.leiogauge.measure.OutlineTrials.Agreement;
import org.leiogauge.measure.PartsTrial.Field;
import org.leiogauge.measure.PartsTrial.Found;
import org.leiogauge.measure.PartsTrial.Part;
import org.leiogauge.phantom.PhantomSettings.Matrix;
import org.leiogauge.phantom.Preset;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;

/**
 * Writes docs/accuracy-outline.md: outlines, parts of the lesion, alignment and coil field of the synthetic presets, beside
 * what is true of them.
 *
 * <p>Run {@code main} with a folder and the number of threads. The folder keeps studies and files; taken from it, where
 * they are there: {@code baselines.csv}, which src/test/resources/oracle/outline_baselines.py prints on those files, and what
 * {@link TrialSections} names. With {@code TRIALS} behind them only the sections of trials are written again, with {@code
 * OUTLINES} that of outlines too; all others stay as they stand in the document, as do sections of trials without files.
 */
final class OutlineTable {
    private static final Path DOCUMENT = Path.of("docs/accuracy-outline.md");
    private static final String SECTIONS = "(?m)(?=^## )";
    private static final List<String> BASELINES = List.of("random walker", "watershed", "Chan-Vese");

    private final Path folder;
    private final StringBuilder text = new StringBuilder();

    private OutlineTable(Path folder) {
        this.folder = folder;
    }

    public static void main(String[] wish) throws InputException, IOException {
        OutlineTable table = new OutlineTable(Path.of(wish[0]));
        String part = wish.length > 2 ? wish[2] : "ALL";
        try (Workers workers = Workers.of(Integer.parseInt(wish[1]))) {
            table.head();
            if (!part.equals("TRIALS")) table.outlines(workers);
            if (part.equals("ALL")) table.parts(workers);
            table.text.append(new TrialSections(table.folder).text());
        }
        Files.writeString(DOCUMENT, table.into(Files.readString(DOCUMENT)));
    }

    /** Each section of the document, in its order, as it was written now or else as it stands. */
    private String into(String document) {
        Map<String, String> sections = new LinkedHashMap<>();
        for (String source : List.of(document, text.toString()))
            for (String section : source.split(SECTIONS))
                sections.put(section.lines().findFirst().orElse(""), section.stripTrailing());
        return String.join("\n\n", sections.values()) + "\n";
    }

    private void outlines(Workers workers) throws InputException, IOException {
        outlineWords();
        for (Matrix matrix : List.of(Matrix.FULL, Matrix.DEMO)) outlines(new OutlineTrials(folder, matrix), workers);
    }

    private void parts(Workers workers) throws InputException, IOException {
        Map<Preset, Found> parts = new LinkedHashMap<>();
        OutlineTrials full = new OutlineTrials(folder, Matrix.FULL);
        for (Preset preset : OutlineTrials.PRESETS) {
            parts.put(preset, PartsTrial.run(full.study(preset, workers), workers));
            System.err.println("parts " + preset.key());
        }
        parts(parts);
        fields(parts);
    }

    private void head() {
        line("# Accuracy of outlines, parts and alignment");
        line("");
        line(
                "Written by `OutlineTable` (test sources); not edited by hand. All lesions are invented: the nine textbook presets of");
        line("`phantom`, one seed each, with noise, coil bias, movement between series and distortion.");
        line("");
    }

    private void outlineWords() {
        line("## Outlines");
        line("");
        line(
                "A sloppy reader's outline (every fourth slice, 16 to 24 points, 1.5 mm off the line) of each preset, filled in");
        line(
                "between its slices and refined, against the true region. Each cell: Dice / 95 % Hausdorff distance in mm. Wanted:");
        line(
                "Dice of 0.95 or more, 0.92 for the two hard ones, at most two voxels within a slice (1.5 mm at full size, 2.7 mm at");
        line("demo size), and never worse than as drawn.");
        line("");
        line(
                "The rightmost three are general-purpose methods of scikit-image 0.19.3 on the first and the last of the same images,");
        line(
                "smoothed alike, with the same voxels settled as inside and outside (as near as the method allows: Chan-Vese sees the");
        line(
                "T2-weighted image only). Their parameters are plain ones, not tuned to these images, whereas ours were set on the");
        line(
                "synthetic studies themselves: the distance between the two is larger here than it would be on others. Also, the");
        line(
                "presets' lesions are ellipsoids with bumps, and filling in between slices is exact for ellipsoids without: what \"as");
        line("drawn\" shows is the favourable case, the sarcoma, with its tongues, the less favourable one.");
        line("");
    }

    private void outlines(OutlineTrials trials, Workers workers) throws InputException, IOException {
        Map<String, String> baselines = baselines();
        line(
                trials.matrix() == Matrix.FULL
                        ? "### Full size, 0.75 × 0.75 × 4 mm"
                        : "### Demo size, 1.36 × 1.36 × 5 mm");
        line("");
        line("| preset | as drawn | refined, both methods | random walk alone | active surface alone | wanted | "
                + String.join(" | ", BASELINES) + " |");
        line("|---|---|---|---|---|---|" + "---|".repeat(BASELINES.size()));
        double most = trials.matrix() == Matrix.FULL ? 1.5 : 2.75;
        for (Preset preset : OutlineTrials.PRESETS) {
            List<Agreement> found = trials.run(preset, workers);
            System.err.println(trials.name(preset) + " " + found);
            boolean hard = preset == Preset.HARD_BENIGN || preset == Preset.HARD_MALIGNANT;
            Agreement refined = found.get(1);
            boolean met = refined.dice() >= (hard ? 0.92 : 0.95)
                    && refined.hausdorffMm() <= most
                    && refined.dice() >= found.get(0).dice();
            line("| " + preset.key() + " | " + found.get(0) + " | **" + refined + "** | " + found.get(2) + " | "
                    + found.get(3) + " | " + (met ? "met" : "missed") + " | "
                    + BASELINES.stream()
                            .map(m -> baselines.getOrDefault(trials.name(preset) + "," + m, ""))
                            .collect(Collectors.joining(" | "))
                    + " |");
        }
        line("");
    }

    private Map<String, String> baselines() throws IOException {
        Map<String, String> found = new LinkedHashMap<>();
        for (List<String> row : new TrialRows(folder).of("baselines.csv"))
            found.put(
                    row.get(0) + "," + row.get(1),
                    String.format(
                            Locale.ROOT,
                            "%.3f / %.1f",
                            Double.parseDouble(row.get(2)),
                            Double.parseDouble(row.get(3))));
        return found;
    }

    private void parts(Map<Preset, Found> found) {
        line("## Parts of the lesion");
        line("");
        line(
                "Volume in mL of what does not enhance, of what is bright on T1 (haemorrhagic) and of what is fluid (cystic), by");
        line(
                "`measure` with the true outline at full size and the demonstration's signal-to-noise ratios; truth: the tissues that");
        line(
                "the images were computed from. Segment: the part in `lesion.seg.dcm`, and its Dice with the true voxels, which");
        line("thick slices of the other series limit. Wanted for the first two: within 5 % or 1 mL.");
        line("");
        line("| preset | part | true | measured | error | wanted | segment | Dice |");
        line("|---|---|---|---|---|---|---|---|");
        found.forEach((preset, one) -> one.parts().forEach(part -> row(preset, part)));
        line("");
        List<Part> wanted = found.values().stream()
                .flatMap(one -> one.parts().stream())
                .filter(part -> part.kind() != org.leiogauge.lesion.LesionParts.Kind.CYSTIC)
                .toList();
        line(wanted.stream().filter(Part::isMet).count() + " of " + wanted.size() + " wanted volumes are met.");
        line("");
    }

    private void row(Preset preset, Part part) {
        boolean counts = part.kind() != org.leiogauge.lesion.LesionParts.Kind.CYSTIC;
        line(String.format(
                Locale.ROOT,
                "| %s | %s | %.2f | %.2f | %+.2f | %s | %.2f | %s |",
                preset.key(),
                part.kind().words(),
                part.truth(),
                part.found(),
                part.error(),
                counts ? part.isMet() ? "met" : "missed" : "",
                part.segment(),
                part.dice().map(d -> String.format(Locale.ROOT, "%.3f", d)).orElse("")));
    }

    private void fields(Map<Preset, Found> found) {
        line("## Coil field");
        line("");
        line(
                "Coefficient of variation, over the body, of the true sensitivity of the coil, and of what is left of it after the");
        line("estimated field was divided out; full size.");
        line("");
        line("| preset | T2: before | after | T1, fat-suppressed: before | after |");
        line("|---|---|---|---|---|");
        found.forEach((preset, one) -> line("| " + preset.key() + " | "
                + one.fields().stream()
                        .sorted(Comparator.comparing(Field::role))
                        .map(f -> String.format(Locale.ROOT, "%.3f | %.3f", f.before(), f.after()))
                        .collect(Collectors.joining(" | "))
                + " |"));
        line("");
    }

    private void line(String line) {
        text.append(line).append('\n');
    }
}
