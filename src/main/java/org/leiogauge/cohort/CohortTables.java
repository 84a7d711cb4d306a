// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.HashMap;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;

/**
 * The tables of a cohort, put together from the folders of its cases in the order of the manifest. One case's rows are in
 * memory at a time; beyond it the meanings of the columns, and what the rows of one group of the Parquet file hold.
 */
final class CohortTables {
    private static final List<String> NUMBERS = List.of("value", "low", "high");

    private final Path out;
    private final List<CaseJob> jobs;
    private final List<Optional<String>> failures;

    private final Map<String, List<String>> dictionary = new LinkedHashMap<>();
    private final Map<List<String>, Long> seen = new HashMap<>();

    /** @param failures per job why it has no folder, if so */
    CohortTables(Path out, List<CaseJob> jobs, List<Optional<String>> failures) {
        this.out = out;
        this.jobs = jobs;
        this.failures = new ArrayList<>(failures);
    }

    /** Writes all tables and returns the number of failed cases. */
    int write() throws IOException, InputException {
        Path tidy = out.resolve("features.csv");
        Path parquet = out.resolve("features.parquet");
        List<String> header = new ArrayList<>(LesionTable.COLUMNS);
        header.addAll(LesionTable.COHORT_COLUMNS);
        try (ReaderTables readers = new ReaderTables(out.resolve("readers"), jobs);
                WideTable wide = new WideTable(out.resolve("features-wide.csv"));
                PendingFile tidyFile = new PendingFile(tidy);
                PendingFile parquetFile = new PendingFile(parquet)) {
            CsvWriter csv = new CsvWriter(tidyFile.stream(), header);
            ParquetFile columnar = new ParquetFile(parquetFile.stream(), header, NUMBERS);
            for (int i = 0; i < jobs.size(); i++) if (failures.get(i).isEmpty()) add(i, csv, columnar, readers, wide);
            csv.flush();
            columnar.finish();
            tidyFile.keep();
            parquetFile.keep();
            readers.keep();
            wide.keep();
        }
        writeDictionary();
        writeFailures();
        return (int) failures.stream().filter(Optional::isPresent).count();
    }

    private void add(int i, CsvWriter csv, ParquetFile columnar, ReaderTables readers, WideTable wide)
            throws IOException, InputException {
        CaseJob job = jobs.get(i);
        CohortCase one = job.one();
        List<LesionRow> rows = LesionTable.readTidy(job.folder().resolve("features.csv"));
        String lesion = rows.get(0).lesion();
        Long before = seen.putIfAbsent(List.of(one.name(), lesion, one.reader()), one.line());
        if (before != null) {
            failures.set(
                    i,
                    Optional.of("lesion " + lesion + " of " + one.name() + " by reader '" + one.reader()
                            + "' is that of line " + before + " again: give readers or lesions different names"));
            return;
        }
        for (LesionRow row : rows) {
            List<String> cells = new ArrayList<>(LesionTable.cells(row));
            readers.add(one.reader(), cells);
            cells.addAll(List.of(one.reader(), one.site(), one.outcome()));
            csv.row(cells);
            columnar.row(cells);
        }
        addMeanings(job);
        wide.add(List.of(one.name(), lesion, one.reader(), one.site(), one.outcome()), rows);
    }

    private void addMeanings(CaseJob job) throws InputException {
        for (List<String> meaning :
                CsvTable.read(job.folder().resolve("dictionary.csv")).rows())
            dictionary.putIfAbsent(meaning.get(0), meaning);
    }

    private void writeDictionary() throws IOException {
        try (PendingFile file = new PendingFile(out.resolve("dictionary.csv"))) {
            CsvWriter csv = new CsvWriter(file.stream(), LesionTable.DICTIONARY_COLUMNS);
            for (List<String> meaning : dictionary.values()) csv.row(meaning);
            csv.flush();
            file.keep();
        }
    }

    private void writeFailures() throws IOException {
        try (PendingFile file = new PendingFile(out.resolve("failures.csv"))) {
            CsvWriter csv = new CsvWriter(
                    file.stream(), List.of("line", "case", "study", "outline", "site", "reader", "reason"));
            for (int i = 0; i < jobs.size(); i++) {
                if (failures.get(i).isEmpty()) continue;
                CohortCase one = jobs.get(i).one();
                csv.row(List.of(
                        Long.toString(one.line()),
                        one.name(),
                        one.study().toString(),
                        one.outline().toString(),
                        one.site(),
                        one.reader(),
                        failures.get(i).get()));
            }
            csv.flush();
            file.keep();
        }
    }
}
