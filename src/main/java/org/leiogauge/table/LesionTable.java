// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.function.Function;
import org.leiogauge.table.LesionRow.Status;
import org.leiogauge.task.InputException;

/** The feature table of lesions: tidy, wide, and the dictionary that says what each column means. */
public final class LesionTable {
    /** The tidy table's columns, in order. */
    public static final List<String> COLUMNS = List.of(
            "case",
            "lesion",
            "region",
            "series",
            "group",
            "feature",
            "code",
            "aggregation",
            "value",
            "unit",
            "low",
            "high",
            "status",
            "note");

    /** The columns that a table of many cases has behind these. */
    public static final List<String> COHORT_COLUMNS = List.of("reader", "site", "outcome");

    /** The dictionary's columns, in order. */
    public static final List<String> DICTIONARY_COLUMNS = List.of(
            "column",
            "region",
            "series",
            "group",
            "feature",
            "code",
            "aggregation",
            "aggregation_code",
            "unit",
            "definition",
            "source");

    private LesionTable() {}

    /** One row per value. */
    public static void writeTidy(Path file, List<LesionRow> rows) throws IOException {
        CsvFile.write(file, COLUMNS, rows.stream().map(LesionTable::tidy).toList());
    }

    /**
     * Reads a tidy table back. What a dictionary says of a feature, its meaning and source, is empty then, and the columns
     * that only a table of many cases has are passed over.
     *
     * @throws InputException naming the line and column, if it is not such a table: another header (a table from another
     *     version), a number that is none, a status that does not fit the value, the same value of a lesion twice
     */
    public static List<LesionRow> readTidy(Path file) throws InputException {
        List<LesionRow> rows = new ArrayList<>();
        Map<List<String>, Long> seen = new HashMap<>();
        for (CsvFile.Line line : linesOf(file)) {
            TidyLine tidy = new TidyLine(file, line);
            rows.add(tidy.row());
            Long first = seen.putIfAbsent(tidy.key(), line.number());
            if (first != null)
                throw new InputException(
                        file, "line " + line.number(), "the value of line " + first + " again", "each value once");
        }
        return List.copyOf(rows);
    }

    private static List<CsvFile.Line> linesOf(Path file) throws InputException {
        List<CsvFile.Line> lines = CsvFile.read(file);
        List<String> ofCohort = new ArrayList<>(COLUMNS);
        ofCohort.addAll(COHORT_COLUMNS);
        return lines.get(0).cells().equals(ofCohort) ? lines.subList(1, lines.size()) : CsvFile.read(file, COLUMNS);
    }

    /** The cells of a value's line, in the order of {@link #COLUMNS}. */
    public static List<String> cells(LesionRow row) {
        return tidy(row);
    }

    /** One row per lesion, one column per value; a lesion without the value has an empty cell. */
    public static void writeWide(Path file, List<LesionRow> rows) throws IOException {
        List<String> columns = new ArrayList<>(List.of("case", "lesion"));
        columns.addAll(byColumn(rows).keySet());
        Map<List<String>, Map<String, String>> lesions = new LinkedHashMap<>();
        for (LesionRow row : rows)
            lesions.computeIfAbsent(List.of(row.caseName(), row.lesion()), key -> new LinkedHashMap<>())
                    .put(row.column(), row.value().measurement().text());
        List<List<String>> lines = new ArrayList<>();
        lesions.forEach((lesion, cells) -> {
            List<String> line = new ArrayList<>(lesion);
            columns.stream().skip(2).forEach(column -> line.add(cells.getOrDefault(column, "")));
            lines.add(line);
        });
        CsvFile.write(file, columns, lines);
    }

    /**
     * One row per column of the wide table: what it means, its unit, its source.
     *
     * @param remark what is added to a value's meaning; may be empty
     */
    public static void writeDictionary(Path file, List<LesionRow> rows, Function<LesionRow, String> remark)
            throws IOException {
        List<List<String>> lines = new ArrayList<>();
        byColumn(rows).forEach((column, row) -> lines.add(meaning(column, row, remark.apply(row))));
        CsvFile.write(file, DICTIONARY_COLUMNS, lines);
    }

    private static Map<String, LesionRow> byColumn(List<LesionRow> rows) {
        Map<String, LesionRow> columns = new LinkedHashMap<>();
        for (LesionRow row : rows) columns.putIfAbsent(row.column(), row);
        return columns;
    }

    private static List<String> tidy(LesionRow row) {
        Definition definition = row.value().definition();
        boolean bounded = row.interval().isPresent() && row.status() != Status.NOT_MEASURED;
        return List.of(
                row.caseName(),
                row.lesion(),
                row.region(),
                row.series(),
                definition.group(),
                definition.feature(),
                definition.code(),
                row.value().aggregation().name(),
                row.value().measurement().text(),
                definition.unit(),
                bounded ? CsvFile.number(row.interval().get().low()) : "",
                bounded ? CsvFile.number(row.interval().get().high()) : "",
                row.status().toString(),
                row.note());
    }

    private static List<String> meaning(String column, LesionRow row, String remark) {
        Definition definition = row.value().definition();
        return List.of(
                column,
                row.region(),
                row.series(),
                definition.group(),
                definition.feature(),
                definition.code(),
                row.value().aggregation().name(),
                row.value().aggregation().code(),
                definition.unit(),
                definition.meaning() + remark,
                definition.source());
    }
}
