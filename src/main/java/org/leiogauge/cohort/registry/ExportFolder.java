// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashSet;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.leiogauge.cohort.Checksum;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFolder;
import org.leiogauge.task.Yaml;

/**
 * A registry's content as tables that may leave the house: cases and readers under other names, dates shifted or left out,
 * no remarks, and every text looked through for what may tell who somebody is.
 */
public final class ExportFolder {
    static final String SETS = "sets.csv";
    static final String MEASUREMENTS = "measurements.csv";
    static final String IMPRESSIONS = "impressions.csv";
    static final String DICTIONARY = "dictionary.csv";
    static final String CHECKSUMS = "checksums.csv";
    static final List<String> CHECKSUM_COLUMNS = List.of("file", "sha-256");
    static final List<String> SET_COLUMNS = List.of(
            "set",
            "case",
            "lesion",
            "reader",
            "site",
            "age-band",
            "menopausal-status",
            "outcome",
            "histology",
            "procedure",
            "software",
            "settings");
    static final List<String> MEASUREMENT_COLUMNS = List.of("set", "column", "value", "low", "high", "status", "note");
    static final List<String> IMPRESSION_COLUMNS = Stream.concat(
                    Stream.of("set", "locked"), Stream.concat(Impression.TERMS.stream(), Stream.of("concern")))
            .toList();

    private static final String NOTE_LEFT_OUT = "note left out: it may tell who it is";

    /** What happens to dates. */
    public enum Dates {
        DROP,
        SHIFT
    }

    /**
     * How to export.
     *
     * @param software only what this version measured; none: all
     * @param smallestCell groups of fewer cases are warned of
     */
    public record Options(Dates dates, Optional<String> software, int smallestCell) {}

    /** @param warnings groups so small that a case may be told by them */
    public record Result(int cases, int measurements, List<String> warnings) {
        public Result {
            warnings = List.copyOf(warnings);
        }
    }

    private final Options options;
    private final String source;
    private final Pseudonyms pseudonyms;
    private final IdentityCheck check;

    private final List<List<String>> sets = new ArrayList<>();
    private final List<List<String>> impressions = new ArrayList<>();
    private final Map<String, List<String>> dictionary = new LinkedHashMap<>();
    private final List<Map<String, String>> wide = new ArrayList<>();
    private int notesLeftOut;

    private ExportFolder(Options options, String source, Pseudonyms pseudonyms, IdentityCheck check) {
        this.options = options;
        this.source = source;
        this.pseudonyms = pseudonyms;
        this.check = check;
    }

    /**
     * Writes the folder.
     *
     * @throws InputException if a text may tell who somebody is, a column has two meanings, there is nothing to export, or
     *     the folder is not empty; nothing is written then
     */
    public static Result write(Registry registry, Options options, Path out) throws InputException, IOException {
        requireOneMeaning(registry, options);
        requireEmpty(out);
        Set<String> names = new HashSet<>();
        registry.list()
                .forEach(line ->
                        names.addAll(List.of(line.key().caseName(), line.key().reader())));
        names.remove("");
        ExportFolder export = new ExportFolder(
                options, registry.shown(), new Pseudonyms(registry.secret()), new IdentityCheck(names));
        List<Result> result = new ArrayList<>();
        WholeFolder.<InputException>write(out, folder -> result.add(export.fill(registry, folder)));
        return result.get(0);
    }

    private static void requireOneMeaning(Registry registry, Options options) throws InputException, IOException {
        Map<String, List<String>> mixed = registry.mixedColumns(options.software());
        if (mixed.isEmpty()) return;
        Map.Entry<String, List<String>> first = mixed.entrySet().iterator().next();
        Set<String> versions = new TreeSet<>();
        first.getValue().forEach(one -> versions.add(one.substring(one.indexOf(' ') + 1)));
        throw new InputException(
                registry.shown(),
                "column " + first.getKey(),
                "several definitions, of " + String.join(" and ", versions),
                "one definition: choose a version with --software");
    }

    private static void requireEmpty(Path out) throws InputException, IOException {
        if (!Files.isDirectory(out)) return;
        try (Stream<Path> inside = Files.list(out)) {
            if (inside.findAny().isPresent())
                throw new InputException(out, "", "a folder with something in it", "a new folder, or an empty one");
        }
    }

    private Result fill(Registry registry, Path folder) throws InputException, IOException {
        List<List<String>> measurements = new ArrayList<>();
        registry.forEach(options.software(), entry -> add(entry, measurements));
        if (sets.isEmpty())
            throw new InputException(
                    source,
                    "",
                    "no measurement" + options.software().map(s -> " by " + s).orElse(""),
                    "one or more");
        Result result =
                new Result((int) sets.stream().map(row -> row.get(1)).distinct().count(), sets.size(), smallCells());
        new CsvTable(SET_COLUMNS, sets).write(folder.resolve(SETS));
        new CsvTable(MEASUREMENT_COLUMNS, measurements).write(folder.resolve(MEASUREMENTS));
        new CsvTable(IMPRESSION_COLUMNS, impressions).write(folder.resolve(IMPRESSIONS));
        new CsvTable(LesionTable.DICTIONARY_COLUMNS, List.copyOf(dictionary.values()))
                .write(folder.resolve(DICTIONARY));
        wideTable().write(folder.resolve("features-wide.csv"));
        Files.write(folder.resolve("export.yaml"), description(result).getBytes(StandardCharsets.UTF_8));
        writeChecksums(folder);
        return result;
    }

    /** By these a table that was cut short on its way is told from a whole one. */
    static void writeChecksums(Path folder) throws IOException {
        List<List<String>> checksums = new ArrayList<>();
        for (String name : List.of(SETS, MEASUREMENTS, IMPRESSIONS, DICTIONARY))
            checksums.add(List.of(name, Checksum.of(folder.resolve(name))));
        new CsvTable(CHECKSUM_COLUMNS, checksums).write(folder.resolve(CHECKSUMS));
    }

    private void add(Entry entry, List<List<String>> measurements) throws InputException {
        String set = Integer.toString(sets.size() + 1);
        String name = pseudonyms.caseName(entry.key().caseName());
        String reader = pseudonyms.reader(entry.key().reader());
        List<String> row = new ArrayList<>(List.of(set, name, entry.key().lesion(), reader));
        row.addAll(entry.facts().cells());
        row.addAll(entry.outcome().cells());
        row.addAll(List.of(entry.origin().software(), entry.origin().settings()));
        for (int c = 4; c < row.size(); c++) requireClean(name, SET_COLUMNS.get(c), row.get(c));
        requireClean(name, "lesion", entry.key().lesion());
        sets.add(row);
        Map<String, String> cells = new LinkedHashMap<>();
        for (Value value : entry.values()) {
            dictionary.putIfAbsent(value.column(), value.meaning());
            cells.put(value.column(), Value.text(value.number()));
            measurements.add(List.of(
                    set,
                    value.column(),
                    Value.text(value.number()),
                    Value.text(value.low()),
                    Value.text(value.high()),
                    value.status(),
                    note(value)));
        }
        wide.add(cells);
        for (Impression one : entry.impressions()) addImpression(set, entry, name, one);
    }

    private void addImpression(String set, Entry entry, String name, Impression one) throws InputException {
        boolean shift = options.dates() == Dates.SHIFT;
        List<String> row = new ArrayList<>();
        row.add(set);
        row.add(shift ? pseudonyms.shifted(entry.key().caseName(), one.locked()) : "");
        row.addAll(one.terms());
        for (int i = 0; i < one.terms().size(); i++)
            requireClean(name, Impression.TERMS.get(i), one.terms().get(i));
        row.add(one.concern().map(String::valueOf).orElse(""));
        impressions.add(row);
    }

    private void requireClean(String name, String column, String text) throws InputException {
        Optional<String> found = check.find(text);
        if (found.isPresent())
            throw new InputException(
                    source, "case exported as " + name + ", " + column, found.get(), "nothing that tells who it is");
    }

    // Notes are the program's own words, but may name a file.
    private String note(Value value) {
        if (check.find(value.note()).isEmpty()) return value.note();
        notesLeftOut++;
        return NOTE_LEFT_OUT;
    }

    private CsvTable wideTable() {
        List<String> columns = new ArrayList<>(List.of("case", "lesion", "reader", "site", "outcome"));
        columns.addAll(dictionary.keySet());
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < sets.size(); i++) {
            List<String> set = sets.get(i);
            List<String> row = new ArrayList<>(List.of(set.get(1), set.get(2), set.get(3), set.get(4), set.get(7)));
            for (String column : dictionary.keySet()) row.add(wide.get(i).getOrDefault(column, ""));
            rows.add(row);
        }
        return new CsvTable(columns, rows);
    }

    /** Groups by site, age band, outcome and histology that hold fewer cases than asked for. */
    private List<String> smallCells() {
        Map<String, Set<String>> cells = new TreeMap<>();
        for (List<String> set : sets) {
            List<String> words = Stream.of(set.get(4), set.get(5), set.get(7), set.get(8))
                    .filter(word -> !word.isEmpty())
                    .toList();
            cells.computeIfAbsent(String.join(", ", words), cell -> new TreeSet<>())
                    .add(set.get(1));
        }
        List<String> warnings = new ArrayList<>();
        cells.forEach((cell, cases) -> {
            if (cases.size() < options.smallestCell())
                warnings.add((cell.isEmpty() ? "of which nothing is known" : cell) + ": " + cases.size()
                        + " of at least " + options.smallestCell() + " cases");
        });
        return warnings;
    }

    private String description(Result result) {
        Map<String, Object> text = new LinkedHashMap<>();
        text.put("format", 1);
        text.put("cases", result.cases());
        text.put("measurements", result.measurements());
        text.put("dates", options.dates() == Dates.DROP ? "left out" : "shifted by a number of days of each case");
        text.put("remarks", "left out");
        text.put("notes-left-out", notesLeftOut);
        text.put("small-groups", result.warnings());
        return Yaml.PLAIN.text(text);
    }
}
