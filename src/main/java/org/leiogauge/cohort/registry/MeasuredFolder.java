// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.cohort.CohortFolder;
import org.leiogauge.cohort.ManifestRow;
import org.leiogauge.cohort.registry.Entry.Facts;
import org.leiogauge.cohort.registry.Entry.Impression;
import org.leiogauge.cohort.registry.Entry.Key;
import org.leiogauge.cohort.registry.Entry.Origin;
import org.leiogauge.cohort.registry.Entry.Outcome;
import org.leiogauge.cohort.registry.Entry.Value;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;

/** The entries that a measurement's folder holds, or a cohort's. */
public final class MeasuredFolder {
    private static final int LONGEST = 1 << 20;

    private MeasuredFolder() {}

    /** What a case file says of a lesion. An empty text is not known. */
    public record Notes(
            String ageBand,
            String menopausalStatus,
            String reader,
            List<Impression> impressions,
            String histology,
            String treatment) {
        static final Notes NONE = new Notes("", "", "", List.of(), "", "");

        public Notes {
            impressions = List.copyOf(impressions);
        }
    }

    /**
     * Visits the entries of a folder.
     *
     * @param given reader, site and outcome of a single measurement; a cohort's folder has its own
     * @param notes by case and lesion
     * @throws InputException if it is no such folder, or what it holds is damaged
     */
    public static void forEach(Path folder, ManifestRow given, Map<List<String>, Notes> notes, Registry.Visitor visitor)
            throws InputException, IOException {
        if (Files.isRegularFile(folder.resolve("features.csv"))
                && Files.isRegularFile(folder.resolve("settings.yaml"))) {
            visitor.visit(entry(folder, given.software().isEmpty() ? with(given, softwareOf(folder)) : given, notes));
            return;
        }
        if (!CohortFolder.is(folder))
            throw new InputException(folder, "", "no result", "a folder that measure or cohort wrote");
        for (Path one : CohortFolder.cases(folder)) visitor.visit(entry(one, ManifestRow.read(one), notes));
    }

    private static ManifestRow with(ManifestRow given, String software) {
        return new ManifestRow(software, given.reader(), given.site(), given.outcome());
    }

    // The first line of the log is who measured.
    private static String softwareOf(Path folder) throws InputException {
        String text = text(folder.resolve("log.txt"));
        String first = text.lines().findFirst().orElse("");
        if (!first.startsWith("Leiogauge "))
            throw new InputException(folder.resolve("log.txt"), "line 1", first, "the program and its version");
        return first;
    }

    private static String text(Path file) throws InputException {
        try {
            if (Files.size(file) <= LONGEST) return Files.readString(file);
            throw new InputException(file, "", Files.size(file) + " bytes", "at most " + LONGEST + " bytes");
        } catch (IOException e) {
            throw new InputException(file, "", "no such text: " + e.getMessage(), "a file that measure writes");
        }
    }

    private static Entry entry(Path folder, ManifestRow row, Map<List<String>, Notes> notes) throws InputException {
        Path table = folder.resolve("features.csv");
        List<LesionRow> rows = LesionTable.readTidy(table);
        if (rows.isEmpty()) throw new InputException(table, "", "no row", "the values of a lesion");
        String name = rows.get(0).caseName();
        String lesion = rows.get(0).lesion();
        Notes found = notes.getOrDefault(List.of(name, lesion), Notes.NONE);
        String reader = row.reader().isEmpty() ? found.reader() : row.reader();
        try {
            return new Entry(
                    new Key(name, lesion, reader),
                    new Facts(row.site(), found.ageBand(), found.menopausalStatus()),
                    new Origin(row.software(), text(folder.resolve("settings.yaml"))),
                    values(table, rows, meanings(folder.resolve("dictionary.csv"))),
                    // an impression belongs to who formed it
                    found.reader().isEmpty() || found.reader().equals(reader) ? found.impressions() : List.of(),
                    new Outcome(row.outcome(), found.histology(), found.treatment()));
        } catch (IllegalArgumentException e) {
            throw InputException.refused(table, "", e);
        }
    }

    private static List<Value> values(Path table, List<LesionRow> rows, Map<String, List<String>> meanings)
            throws InputException {
        List<Value> values = new ArrayList<>();
        for (LesionRow row : rows) {
            if (!row.caseName().equals(rows.get(0).caseName())
                    || !row.lesion().equals(rows.get(0).lesion()))
                throw new InputException(table, "", "several lesions", "one lesion's values");
            if (!meanings.containsKey(row.column()))
                throw new InputException(table, "feature", row.column(), "one that the dictionary beside it explains");
            double number = row.value().measurement().number().orElse(Double.NaN);
            values.add(new Value(
                    meanings.get(row.column()),
                    Double.isNaN(number) ? Optional.empty() : Optional.of(number),
                    row.interval().map(interval -> interval.low()),
                    row.interval().map(interval -> interval.high()),
                    row.status().toString(),
                    row.note()));
        }
        return values;
    }

    /** The rows of a dictionary by their column. */
    static Map<String, List<String>> meanings(Path dictionary) throws InputException {
        CsvTable table = CsvTable.read(dictionary);
        if (!table.columns().equals(LesionTable.DICTIONARY_COLUMNS))
            throw new InputException(
                    dictionary,
                    "header",
                    String.join(",", table.columns()),
                    String.join(",", LesionTable.DICTIONARY_COLUMNS));
        Map<String, List<String>> meanings = new HashMap<>();
        for (List<String> row : table.rows())
            if (meanings.put(row.get(0), row) != null)
                throw new InputException(dictionary, "column", row.get(0) + " twice", "each column once");
        return meanings;
    }
}
