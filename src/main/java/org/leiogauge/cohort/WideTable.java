// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.CsvWriter;

/**
 * The table with one row per lesion and reader. Its columns are known when the last case was seen, so that the cases are
 * read twice; memory holds the names of the columns alone, however many cases there are.
 */
final class WideTable {
    private static final List<String> WORDS = List.of("case", "lesion", "reader", "site", "outcome");
    // of a case's own wide table: case and lesion
    private static final int CASE_WORDS = 2;

    private final Map<String, Integer> columns = new LinkedHashMap<>();
    private List<String> taken = List.of();

    /** @param header of the own wide table of a case whose turn it is in this one */
    void addColumns(List<String> header) {
        // most cases have the header of the one before
        if (header == taken) return;
        for (String name : header.subList(CASE_WORDS, header.size())) columns.putIfAbsent(name, columns.size());
        taken = header;
    }

    /** Writes the table of the cases whose columns were taken, in the same order. */
    ListedFile write(Path out, List<CaseTables> cases) throws IOException {
        try (PendingFile file = new PendingFile(out, FinishedCase.WIDE)) {
            List<String> names = new ArrayList<>(WORDS);
            names.addAll(columns.keySet());
            file.stream().write(CsvWriter.line(names));
            CsvBytes table = CsvBytes.NONE;
            int[] cells = {};
            for (CaseTables one : cases) {
                List<String> before = table.header();
                table = one.wide(table);
                if (table.header() != before) cells = cells(table.header());
                writeRow(one, table, cells, file.stream());
            }
            return file.keep();
        }
    }

    // Which cell of the case each column takes; 0 for none.
    private int[] cells(List<String> header) {
        int[] cells = new int[columns.size()];
        for (int cell = CASE_WORDS; cell < header.size(); cell++) cells[columns.get(header.get(cell))] = cell;
        return cells;
    }

    private static void writeRow(CaseTables one, CsvBytes table, int[] cells, OutputStream out) throws IOException {
        CohortCase of = one.one();
        byte[] words = CsvWriter.line(List.of(of.name(), one.lesion(), of.reader(), of.site(), of.outcome()));
        out.write(words, 0, words.length - 1);
        for (int cell : cells) {
            out.write(',');
            if (cell > 0) out.write(table.bytes(), table.begin(cell), table.end(cell) - table.begin(cell));
        }
        out.write('\n');
    }
}
