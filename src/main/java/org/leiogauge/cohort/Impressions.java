// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;

/**
 * What readers said of lesions: a table with the columns {@code case}, {@code lesion}, {@code reader} and one per sign.
 *
 * @param signs in the order of the table
 * @param readings one per lesion and reader
 */
public record Impressions(List<String> signs, List<Reading> readings) {
    private static final List<String> KEYS = List.of("case", "lesion", "reader");
    // in an export of a registry, not signs
    private static final List<String> OTHER = List.of("set", "locked", "site");
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
     * @throws InputException if one has another form, the same reader stands twice for a lesion, or a concern is no grade
     */
    public static Impressions read(List<Path> files) throws InputException {
        List<String> signs = new ArrayList<>();
        Map<List<String>, Reading> readings = new LinkedHashMap<>();
        for (Path file : files) {
            CsvTable table = CsvTable.read(file);
            if (!is(table))
                throw new InputException(
                        file, "header", String.join(",", table.columns()), "case, lesion, reader and signs");
            for (String column : table.columns())
                if (!KEYS.contains(column) && !OTHER.contains(column) && !signs.contains(column)) signs.add(column);
            for (List<String> row : table.rows()) add(file, table.columns(), row, readings);
        }
        if (signs.isEmpty()) throw new InputException(files.get(0), "header", "no sign", "a column per sign");
        return new Impressions(List.copyOf(signs), List.copyOf(readings.values()));
    }

    private static void add(Path file, List<String> columns, List<String> row, Map<List<String>, Reading> readings)
            throws InputException {
        Map<String, String> cells = new LinkedHashMap<>();
        for (int c = 0; c < columns.size(); c++)
            cells.put(columns.get(c), row.get(c).strip());
        Reading reading = new Reading(cells.get("case"), cells.get("lesion"), cells.get("reader"), cells);
        String who = reading.caseName() + " " + reading.lesion() + " by reader '" + reading.reader() + "'";
        if (reading.reader().isEmpty()) throw new InputException(file, "column reader", "nothing", "who read " + who);
        String concern = cells.getOrDefault(CONCERN, "");
        if (!concern.matches("[1-5]?"))
            throw new InputException(file, "column concern", concern + " for " + who, "a grade from 1 to 5");
        Reading before = readings.putIfAbsent(List.of(reading.caseName(), reading.lesion(), reading.reader()), reading);
        if (before != null) throw new InputException(file, "", who + " twice", "each reader once for a lesion");
    }
}
