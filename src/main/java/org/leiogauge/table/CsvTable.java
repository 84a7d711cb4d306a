// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.Collections;
import java.util.List;
import org.leiogauge.task.InputException;

/**
 * A table of text, to be written as CSV: UTF-8, LF, {@code .} in numbers; a text that a spreadsheet would run as a formula
 * is made harmless.
 *
 * @param rows below the header, one cell per column
 */
public record CsvTable(List<String> columns, List<List<String>> rows) {
    public CsvTable {
        columns = List.copyOf(columns);
        rows = rows.stream().map(List::copyOf).toList();
        for (List<String> row : rows)
            if (row.size() != columns.size())
                throw new IllegalArgumentException("a row must have " + columns.size() + " cells, got " + row.size());
    }

    /**
     * Reads a table with any header.
     *
     * @throws InputException if it is no CSV in UTF-8, its lines differ in length, or two columns have one name
     */
    public static CsvTable read(Path file) throws InputException {
        return of(file, CsvFile.read(file));
    }

    /**
     * The table of a file's lines, the header first; for who needs to know which line a row was.
     *
     * @throws InputException if two columns have one name
     */
    public static CsvTable of(Path file, List<CsvFile.Line> lines) throws InputException {
        List<String> columns = lines.get(0).cells();
        for (String column : columns)
            if (Collections.frequency(columns, column) > 1)
                throw new InputException(file, "header", "two columns named " + column, "each name once");
        return new CsvTable(
                columns, lines.stream().skip(1).map(CsvFile.Line::cells).toList());
    }

    public void write(Path file) throws IOException {
        CsvFile.write(file, columns, rows);
    }

    /** The stream is not closed. */
    public void write(OutputStream out) throws IOException {
        CsvFile.write(out, columns, rows);
    }
}
