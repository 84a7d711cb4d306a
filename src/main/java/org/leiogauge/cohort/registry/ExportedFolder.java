// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.time.format.DateTimeParseException;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.Set;
import org.leiogauge.cohort.Checksum;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Key;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;

/**
 * The entries of an export, from here or from another centre. Merging reads tables, never a database from elsewhere: opening
 * one would run what it holds.
 */
public final class ExportedFolder {
    private static final Set<String> STATUS = Set.of("ok", "caution", "not measured");

    private final Path folder;
    private final Map<String, List<List<String>>> measurements;
    private final Map<String, List<List<String>>> impressions;
    private final Map<String, List<String>> meanings;

    private ExportedFolder(Path folder) throws InputException, IOException {
        this.folder = folder;
        requireWhole();
        this.measurements = bySet(ExportFolder.MEASUREMENTS, ExportFolder.MEASUREMENT_COLUMNS);
        this.impressions = bySet(ExportFolder.IMPRESSIONS, ExportFolder.IMPRESSION_COLUMNS);
        this.meanings = MeasuredFolder.meanings(folder.resolve(ExportFolder.DICTIONARY));
    }

    /**
     * Visits the entries in the order of the export.
     *
     * @throws InputException if the folder is no export, or damaged
     */
    public static void forEach(Path folder, Registry.Visitor visitor) throws InputException, IOException {
        ExportedFolder export = new ExportedFolder(folder);
        // all are read before the first is visited, so that a damaged export adds nothing
        List<Entry> entries = new ArrayList<>();
        for (List<String> set : export.table(ExportFolder.SETS, ExportFolder.SET_COLUMNS))
            entries.add(export.entry(set));
        for (Entry entry : entries) visitor.visit(entry);
    }

    private void requireWhole() throws InputException, IOException {
        Map<String, String> checksums = new LinkedHashMap<>();
        table(ExportFolder.CHECKSUMS, ExportFolder.CHECKSUM_COLUMNS)
                .forEach(row -> checksums.put(row.get(0), row.get(1)));
        for (String name : List.of(
                ExportFolder.SETS, ExportFolder.MEASUREMENTS, ExportFolder.IMPRESSIONS, ExportFolder.DICTIONARY)) {
            Path file = folder.resolve(name);
            boolean whole = Files.isRegularFile(file) && Checksum.of(file).equals(checksums.get(name));
            if (!whole)
                throw new InputException(
                        file, "", "a table that is missing or was changed", "the one of " + ExportFolder.CHECKSUMS);
        }
    }

    private List<List<String>> table(String name, List<String> columns) throws InputException {
        CsvTable table = CsvTable.read(folder.resolve(name));
        if (!table.columns().equals(columns))
            throw new InputException(
                    folder.resolve(name), "header", String.join(",", table.columns()), String.join(",", columns));
        return table.rows();
    }

    private Map<String, List<List<String>>> bySet(String name, List<String> columns) throws InputException {
        Map<String, List<List<String>>> rows = new LinkedHashMap<>();
        for (List<String> row : table(name, columns))
            rows.computeIfAbsent(row.get(0), set -> new ArrayList<>()).add(row);
        return rows;
    }

    private Entry entry(List<String> set) throws InputException {
        List<Value> values = new ArrayList<>();
        for (List<String> row : measurements.getOrDefault(set.get(0), List.of())) values.add(value(row));
        if (values.isEmpty()) throw wrong(ExportFolder.MEASUREMENTS, set.get(0), "no value", "the values of each set");
        List<Impression> seen = new ArrayList<>();
        for (List<String> row : impressions.getOrDefault(set.get(0), List.of())) seen.add(impression(row));
        try {
            return new Entry(
                    new Key(set.get(1), set.get(2), set.get(3)),
                    new Facts(set.get(4), set.get(5), set.get(6)),
                    new Origin(set.get(10), set.get(11)),
                    values,
                    seen,
                    new Outcome(set.get(7), set.get(8), set.get(9)));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(folder.resolve(ExportFolder.SETS), "set " + set.get(0), e);
        }
    }

    private Value value(List<String> row) throws InputException {
        if (!meanings.containsKey(row.get(1)))
            throw wrong(ExportFolder.MEASUREMENTS, row.get(0), row.get(1), "a column that the dictionary explains");
        Optional<Double> number = number(row, 2);
        Optional<Double> low = number(row, 3);
        Optional<Double> high = number(row, 4);
        String status = row.get(5);
        if (!STATUS.contains(status) || status.equals("not measured") == number.isPresent())
            throw wrong(ExportFolder.MEASUREMENTS, row.get(0), "status " + status, "one that fits the value");
        if (low.isPresent() != high.isPresent() || low.isPresent() && low.get() > high.get())
            throw wrong(ExportFolder.MEASUREMENTS, row.get(0), "low " + row.get(3), "low and high, or neither");
        return new Value(meanings.get(row.get(1)), number, low, high, status, row.get(6));
    }

    private Impression impression(List<String> row) throws InputException {
        Optional<Double> concern = number(row, 9);
        if (concern.isPresent() && !Set.of(1.0, 2.0, 3.0, 4.0, 5.0).contains(concern.get()))
            throw wrong(ExportFolder.IMPRESSIONS, row.get(0), "concern " + row.get(9), "1 to 5");
        try {
            if (!row.get(1).isEmpty()) LocalDateTime.parse(row.get(1));
        } catch (DateTimeParseException e) {
            throw wrong(ExportFolder.IMPRESSIONS, row.get(0), "locked " + row.get(1), "a local date and time");
        }
        return new Impression(row.get(1), row.subList(2, 9), concern.map(Double::intValue), "");
    }

    private Optional<Double> number(List<String> row, int at) throws InputException {
        if (row.get(at).isEmpty()) return Optional.empty();
        try {
            double number = Double.parseDouble(row.get(at));
            if (Double.isFinite(number)) return Optional.of(number);
        } catch (NumberFormatException e) {
            // said below
        }
        throw wrong(ExportFolder.MEASUREMENTS, row.get(0), row.get(at), "a finite number, or an empty cell");
    }

    private InputException wrong(String table, String set, String found, String expected) {
        return new InputException(folder.resolve(table), "set " + set, found, expected);
    }
}
