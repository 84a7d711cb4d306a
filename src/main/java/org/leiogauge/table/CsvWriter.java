// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.OutputStream;
import java.io.OutputStreamWriter;
import java.io.UncheckedIOException;
import java.nio.charset.StandardCharsets;
import java.util.List;
import org.apache.commons.csv.CSVPrinter;

/** A table written row by row, for one too large to be held; as {@link CsvFile} writes it. */
public final class CsvWriter {
    private final CSVPrinter printer;
    private final int columns;

    /** @param out stays open */
    public CsvWriter(OutputStream out, List<String> columns) throws IOException {
        this.printer = new CSVPrinter(new OutputStreamWriter(out, StandardCharsets.UTF_8), CsvFile.FORMAT);
        this.columns = columns.size();
        row(columns);
    }

    public void row(List<String> cells) throws IOException {
        if (cells.size() != columns)
            throw new IllegalArgumentException("a row must have " + columns + " cells, got " + cells.size());
        for (String cell : cells) printer.print(CsvFile.harmless(cell));
        printer.println();
    }

    /** The bytes of one line, its end included. */
    public static byte[] line(List<String> cells) {
        ByteArrayOutputStream bytes = new ByteArrayOutputStream();
        try {
            new CsvWriter(bytes, cells).flush();
        } catch (IOException e) {
            throw new UncheckedIOException("memory takes all that is written into it", e);
        }
        return bytes.toByteArray();
    }

    public void flush() throws IOException {
        printer.flush();
    }
}
