// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Path;
import java.util.List;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVPrinter;
import org.leiogauge.task.WholeFile;

/**
 * Writes tables as CSV: UTF-8, LF, a comma between cells, {@code .} in numbers.
 *
 * <p>A text that a spreadsheet would run as a formula gets an apostrophe in front.
 */
public final class CsvFile {
    private static final CSVFormat FORMAT =
            CSVFormat.DEFAULT.builder().setRecordSeparator('\n').get();

    private CsvFile() {}

    public static void write(Path file, List<String> columns, List<List<String>> rows) throws IOException {
        WholeFile.write(file, out -> write(out, columns, rows));
    }

    static void write(OutputStream out, List<String> columns, List<List<String>> rows) throws IOException {
        CSVPrinter printer = new CSVPrinter(new OutputStreamWriter(out, StandardCharsets.UTF_8), FORMAT);
        printer.printRecord(columns.stream().map(CsvFile::harmless).toList());
        for (List<String> row : rows)
            printer.printRecord(row.stream().map(CsvFile::harmless).toList());
        printer.flush();
    }

    /** Full double precision. */
    static String number(double value) {
        return Double.toString(value);
    }

    private static String harmless(String cell) {
        return !cell.isEmpty() && "=+-@\t\r".indexOf(cell.charAt(0)) >= 0 && !isNumber(cell) ? "'" + cell : cell;
    }

    private static boolean isNumber(String cell) {
        try {
            return Double.isFinite(Double.parseDouble(cell));
        } catch (NumberFormatException e) {
            return false;
        }
    }
}
