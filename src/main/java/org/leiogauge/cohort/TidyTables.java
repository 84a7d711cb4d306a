// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.Collectors;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.table.LesionTable;

/**
 * The tidy table of all cases; and one per reader, where there are two or more, for the comparison of readers. A case's lines
 * are passed on as they are.
 */
final class TidyTables implements AutoCloseable {
    static final String READERS = "readers";

    private final PendingFile all;
    private final Map<String, PendingFile> byReader = new LinkedHashMap<>();

    private TidyTables(Path out, List<String> readers) throws IOException {
        all = new PendingFile(out, FinishedCase.TIDY);
        List<String> header = new ArrayList<>(LesionTable.COLUMNS);
        header.addAll(LesionTable.COHORT_COLUMNS);
        all.stream().write(CsvWriter.line(header));
        Set<String> named =
                readers.stream().filter(reader -> !reader.isEmpty()).collect(Collectors.toCollection(TreeSet::new));
        if (named.size() < 2) return;
        Files.createDirectories(out.resolve(READERS));
        for (String reader : named) {
            PendingFile file = new PendingFile(out, READERS + "/" + reader + ".csv");
            byReader.put(reader, file);
            file.stream().write(CsvWriter.line(LesionTable.COLUMNS));
        }
    }

    /**
     * Writes them.
     *
     * @param readers of all cases of the manifest, failed ones too
     */
    static List<ListedFile> write(Path out, List<String> readers, List<CaseTables> cases) throws IOException {
        try (TidyTables tables = new TidyTables(out, readers)) {
            for (CaseTables one : cases) tables.add(one);
            return tables.keep();
        }
    }

    private void add(CaseTables one) throws IOException {
        CsvBytes table = one.tidy();
        PendingFile ofReader = byReader.get(one.one().reader());
        if (ofReader != null) ofReader.stream().write(table.bytes(), table.rest(), table.bytes().length - table.rest());
        byte[] end = lineEnd(one.one());
        OutputStream stream = all.stream();
        while (table.next()) {
            int begin = table.begin(0);
            stream.write(table.bytes(), begin, table.rest() - 1 - begin);
            stream.write(end);
        }
    }

    // What each line of the case gets, from its next comma on.
    private static byte[] lineEnd(CohortCase one) {
        byte[] line = CsvWriter.line(List.of("-", one.reader(), one.site(), one.outcome()));
        int comma = 0;
        while (line[comma] != ',') comma++;
        return Arrays.copyOfRange(line, comma, line.length);
    }

    private List<ListedFile> keep() throws IOException {
        List<ListedFile> kept = new ArrayList<>(List.of(all.keep()));
        for (PendingFile file : byReader.values()) kept.add(file.keep());
        return kept;
    }

    @Override
    public void close() throws IOException {
        all.close();
        for (PendingFile file : byReader.values()) file.close();
    }
}
