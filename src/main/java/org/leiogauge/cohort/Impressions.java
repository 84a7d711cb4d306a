// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.table.CsvFile;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;

/**
 * What readers said of lesions: a table with the columns {@code case}, {@code lesion}, {@code reader} and one per sign. Signs
 * and terms are the lexicon's, as in a case file: a word of another spelling would count as disagreement.
 *
 * @param signs in the order of the table
 * @param readings one per lesion and reader
 */
public record Impressions(List<String> signs, List<Reading> readings) {
    private static final List<String> KEYS = List.of("case", "lesion", "reader");
    // of a case file or an export of a registry, not signs
    private static final List<String> OTHER = List.of("comment", "set", "locked", "site");
    static final List<String> GRADES = List.of("1", "2", "3", "4", "5");
    static final String CONCERN = "concern";

    /**
     * One reader on one lesion.
     *
     * @param terms by sign; an empty text where nothing was said
     */
    public record Reading(String caseName, String lesion, String reader, Map<String, String> terms) {}

    /** Whether a table is one of impressions, and not of features. */
    public static boolean is(CsvTable table) {
        return table.columns().containsAll(KEYS) && !table.columns().contains("feature");
    }

    /**
     * Reads tables as one.
     *
     * @throws InputException if one has another form, a column or a term is not of the lexicon, the same reader stands twice
     *     for a lesion, or a concern is no grade
     */
    public static Impressions read(List<Path> files) throws InputException {
        Map<String, List<String>> allowed = allowed();
        List<String> signs = new ArrayList<>();
        Map<List<String>, Reading> readings = new LinkedHashMap<>();
        for (Path file : files) {
            List<CsvFile.Line> lines = CsvFile.read(file);
            CsvTable table = CsvTable.of(file, lines);
            if (!is(table))
                throw new InputException(
                        file, "header", String.join(",", table.columns()), "case, lesion, reader and signs");
            requireColumns(file, table.columns(), allowed);
            for (String column : table.columns())
                if (allowed.containsKey(column) && !signs.contains(column)) signs.add(column);
            for (CsvFile.Line line : lines.subList(1, lines.size()))
                add(file, line, cells(table.columns(), line), allowed, readings);
        }
        if (signs.isEmpty()) throw new InputException(files.get(0), "header", "no sign", "a column per sign");
        return new Impressions(List.copyOf(signs), List.copyOf(readings.values()));
    }

    private static Map<String, List<String>> allowed() {
        Map<String, List<String>> allowed = new LinkedHashMap<>(BlindReading.terms());
        allowed.put(CONCERN, GRADES);
        return allowed;
    }

    private static void requireColumns(Path file, List<String> columns, Map<String, List<String>> allowed)
            throws InputException {
        for (String column : columns)
            if (!KEYS.contains(column) && !OTHER.contains(column) && !allowed.containsKey(column))
                throw new InputException(
                        file,
                        "header",
                        "the unknown column " + column,
                        "case, lesion, reader and some of " + String.join(", ", allowed.keySet()) + ", "
                                + String.join(", ", OTHER));
    }

    private static Map<String, String> cells(List<String> columns, CsvFile.Line line) {
        Map<String, String> cells = new LinkedHashMap<>();
        for (int c = 0; c < columns.size(); c++)
            cells.put(columns.get(c), line.cells().get(c).strip());
        return cells;
    }

    private static void add(
            Path file,
            CsvFile.Line line,
            Map<String, String> cells,
            Map<String, List<String>> allowed,
            Map<List<String>, Reading> readings)
            throws InputException {
        String place = "line " + line.number();
        Reading reading = new Reading(cells.get("case"), cells.get("lesion"), cells.get("reader"), cells);
        String who = reading.caseName() + " " + reading.lesion() + " by reader '" + reading.reader() + "'";
        if (reading.reader().isEmpty())
            throw new InputException(file, place + ", column reader", "nothing", "who read " + who);
        for (Map.Entry<String, List<String>> sign : allowed.entrySet()) {
            String term = cells.getOrDefault(sign.getKey(), "");
            if (!term.isEmpty() && !sign.getValue().contains(term))
                throw new InputException(
                        file,
                        place + ", column " + sign.getKey(),
                        term,
                        "one of " + String.join(", ", sign.getValue()) + ", or an empty cell");
        }
        Reading before = readings.putIfAbsent(List.of(reading.caseName(), reading.lesion(), reading.reader()), reading);
        if (before != null) throw new InputException(file, place, who + " twice", "each reader once for a lesion");
    }
}
