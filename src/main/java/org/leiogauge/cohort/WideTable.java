// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.BufferedInputStream;
import java.io.BufferedOutputStream;
import java.io.DataInputStream;
import java.io.DataOutputStream;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.OptionalDouble;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.table.LesionRow;

/**
 * The table with one row per lesion and reader. Its columns are known when the last case was read, so that the rows wait
 * in a file beside it: memory holds the names of the columns alone, however many cases there are.
 */
final class WideTable implements AutoCloseable {
    private static final List<String> WORDS = List.of("case", "lesion", "reader", "site", "outcome");

    private final Path file;
    private final Path waiting;
    private final DataOutputStream rows;
    private final Map<String, Integer> columns = new LinkedHashMap<>();
    private int lesions;

    WideTable(Path file) throws IOException {
        this.file = file;
        this.waiting = file.resolveSibling("." + file.getFileName() + ".rows");
        this.rows = new DataOutputStream(new BufferedOutputStream(Files.newOutputStream(waiting)));
    }

    /** @param words case, lesion, reader, site and outcome */
    void add(List<String> words, List<LesionRow> values) throws IOException {
        for (String word : words) {
            byte[] text = word.getBytes(StandardCharsets.UTF_8);
            rows.writeInt(text.length);
            rows.write(text);
        }
        rows.writeInt(values.size());
        for (LesionRow value : values) {
            rows.writeInt(columns.computeIfAbsent(value.column(), name -> columns.size()));
            OptionalDouble number = value.value().measurement().number();
            rows.writeDouble(number.isPresent() ? number.getAsDouble() : Double.NaN);
        }
        lesions++;
    }

    /** Writes the table and gives it its place. */
    void keep() throws IOException {
        rows.close();
        List<String> header = new ArrayList<>(WORDS);
        header.addAll(columns.keySet());
        try (DataInputStream in = new DataInputStream(new BufferedInputStream(Files.newInputStream(waiting)));
                PendingFile table = new PendingFile(file)) {
            CsvWriter csv = new CsvWriter(table.stream(), header);
            for (int i = 0; i < lesions; i++) csv.row(cells(in));
            csv.flush();
            table.keep();
        }
    }

    private List<String> cells(DataInputStream in) throws IOException {
        List<String> cells = new ArrayList<>();
        for (int i = 0; i < WORDS.size(); i++)
            cells.add(new String(in.readNBytes(in.readInt()), StandardCharsets.UTF_8));
        for (int i = 0; i < columns.size(); i++) cells.add("");
        for (int left = in.readInt(); left > 0; left--) {
            int at = in.readInt();
            double value = in.readDouble();
            if (!Double.isNaN(value)) cells.set(WORDS.size() + at, Double.toString(value));
        }
        return cells;
    }

    @Override
    public void close() throws IOException {
        try {
            rows.close();
        } finally {
            Files.deleteIfExists(waiting);
        }
    }
}
