// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.table.LesionTable;

/** One tidy table per reader, where there are two or more, for the comparison of readers. */
final class ReaderTables implements AutoCloseable {
    private record Open(PendingFile file, CsvWriter csv) {}

    private final Map<String, Open> tables = new LinkedHashMap<>();

    ReaderTables(Path folder, List<CaseJob> jobs) throws IOException {
        Set<String> readers = jobs.stream()
                .map(job -> job.one().reader())
                .filter(reader -> !reader.isEmpty())
                .collect(Collectors.toCollection(TreeSet::new));
        if (readers.size() < 2) return;
        Files.createDirectories(folder);
        for (String reader : readers) {
            PendingFile file = new PendingFile(folder.resolve(reader + ".csv"));
            tables.put(reader, new Open(file, new CsvWriter(file.stream(), LesionTable.COLUMNS)));
        }
    }

    /** @param cells as {@link LesionTable#COLUMNS} */
    void add(String reader, List<String> cells) throws IOException {
        if (tables.containsKey(reader)) tables.get(reader).csv().row(cells);
    }

    void keep() throws IOException {
        for (Open table : tables.values()) {
            table.csv().flush();
            table.file().keep();
        }
    }

    @Override
    public void close() throws IOException {
        for (Open table : tables.values()) table.file().close();
    }
}
