// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.LesionTable;

/** The tidy table of all cases as Parquet. */
final class ParquetTable {
    private static final String NAME = "features.parquet";
    private static final List<String> NUMBERS = List.of("value", "low", "high");

    private ParquetTable() {}

    static ListedFile write(Path out, List<CaseTables> cases) throws IOException {
        List<String> names = new ArrayList<>(LesionTable.COLUMNS);
        names.addAll(LesionTable.COHORT_COLUMNS);
        try (PendingFile file = new PendingFile(out, NAME)) {
            ParquetFile parquet = new ParquetFile(file.stream(), names, NUMBERS);
            for (CaseTables one : cases) add(one, parquet);
            parquet.finish();
            return file.keep();
        }
    }

    private static void add(CaseTables one, ParquetFile parquet) throws IOException {
        CohortCase of = one.one();
        int own = LesionTable.COLUMNS.size();
        boolean[] isNumber = new boolean[own];
        for (String number : NUMBERS) isNumber[LesionTable.COLUMNS.indexOf(number)] = true;
        List<byte[]> words = new ArrayList<>();
        for (String word : List.of(of.reader(), of.site(), of.outcome())) words.add(utf8(word));
        CsvBytes table = one.tidy();
        while (table.next()) {
            for (int cell = 0; cell < own; cell++)
                if (isNumber[cell]) addNumber(table, cell, parquet);
                else addText(table, cell, parquet);
            for (int i = 0; i < words.size(); i++) parquet.text(own + i, words.get(i), 0, words.get(i).length);
            parquet.endRow();
        }
    }

    private static void addText(CsvBytes table, int cell, ParquetFile parquet) throws IOException {
        if (table.isPlain(cell)) parquet.text(cell, table.bytes(), table.begin(cell), table.end(cell));
        else {
            byte[] text = utf8(table.text(cell));
            parquet.text(cell, text, 0, text.length);
        }
    }

    private static void addNumber(CsvBytes table, int cell, ParquetFile parquet) throws IOException {
        if (table.isEmpty(cell)) parquet.noNumber(cell);
        else parquet.number(cell, Double.parseDouble(table.text(cell)));
    }

    private static byte[] utf8(String text) {
        return text.getBytes(StandardCharsets.UTF_8);
    }
}
