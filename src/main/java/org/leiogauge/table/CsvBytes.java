// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.Collections;
import java.util.List;

/**
 * Walks over a table that {@link CsvWriter} wrote, line by line, without making a text of each cell: for tables of which
 * most bytes are passed on as they are. It takes that writer's form alone, where quotation marks stand around a whole cell
 * and LF ends each line; tables from elsewhere are for {@link CsvTable}.
 */
public final class CsvBytes {
    private static final byte QUOTE = '"';

    /** No table, to begin a row of tables with. */
    public static final CsvBytes NONE = new CsvBytes(Path.of(""), new byte[0], List.of(), 0);

    private final Path file;
    private final byte[] bytes;
    private final List<String> header;
    private final int headerEnd;
    // where the cells of the line begin, and one more: behind its end
    private final int[] begins;
    private int next;

    private CsvBytes(Path file, byte[] bytes, List<String> header, int headerEnd) {
        this.file = file;
        this.bytes = bytes;
        this.header = header;
        this.headerEnd = headerEnd;
        this.begins = new int[header.size() + 1];
        this.next = headerEnd;
    }

    /**
     * Reads a table, and stands before the first line below its header.
     *
     * @throws IOException if the header is another
     */
    public static CsvBytes read(Path file, List<String> header) throws IOException {
        byte[] bytes = Files.readAllBytes(file);
        byte[] wanted = CsvWriter.line(header);
        if (!beginsWith(bytes, wanted, wanted.length))
            throw new IOException(file + " has another header than " + String.join(",", header));
        return new CsvBytes(file, bytes, header, wanted.length);
    }

    /**
     * Reads another table with any header, and stands below that; quick if it is the header of this one.
     *
     * @throws IOException if there is no header
     */
    public CsvBytes another(Path file) throws IOException {
        byte[] read = Files.readAllBytes(file);
        if (headerEnd > 0 && beginsWith(read, bytes, headerEnd)) return new CsvBytes(file, read, header, headerEnd);
        CsvBytes whole = new CsvBytes(file, read, Collections.nCopies(cellsOfFirstLine(read), ""), 0);
        if (!whole.next()) throw new IOException(file + " is empty");
        List<String> names = new ArrayList<>();
        for (int cell = 0; cell < whole.header.size(); cell++) names.add(whole.text(cell));
        return new CsvBytes(file, read, List.copyOf(names), whole.next);
    }

    private static boolean beginsWith(byte[] bytes, byte[] wanted, int length) {
        return Arrays.equals(bytes, 0, Math.min(length, bytes.length), wanted, 0, length);
    }

    private static int cellsOfFirstLine(byte[] bytes) {
        int cells = 1;
        boolean quoted = false;
        for (int at = 0; at < bytes.length && (quoted || bytes[at] != '\n'); at++) {
            if (bytes[at] == QUOTE) quoted = !quoted;
            if (bytes[at] == ',' && !quoted) cells++;
        }
        return cells;
    }

    /** The names in the header; the very same list for tables that were read one from the other and have one header. */
    public List<String> header() {
        return header;
    }

    /**
     * Goes to the next line.
     *
     * @return whether there is one
     * @throws IOException if it has another number of cells, or no end
     */
    public boolean next() throws IOException {
        if (next == bytes.length) return false;
        int columns = header.size();
        int at = next;
        int cell = 0;
        begins[0] = at;
        boolean quoted = false;
        for (; at < bytes.length; at++) {
            byte one = bytes[at];
            // nearly all bytes are letters and digits
            if (one > ',') continue;
            if (one == QUOTE) quoted = !quoted;
            else if (quoted) continue;
            else if (one == '\n') break;
            else if (one == ',') {
                if (++cell == columns) throw wrong("more than " + columns + " cells");
                begins[cell] = at + 1;
            }
        }
        if (at == bytes.length) throw wrong("no end");
        if (cell + 1 < columns) throw wrong(cell + 1 + " cells");
        next = at + 1;
        begins[columns] = next;
        return true;
    }

    private IOException wrong(String found) {
        long line = 1;
        for (int i = 0; i < begins[0]; i++) if (bytes[i] == '\n') line++;
        return new IOException(
                file + ": line " + line + " has " + found + ", expected " + header.size() + " cells and an end");
    }

    /** The table's bytes; not to be written to. */
    public byte[] bytes() {
        return bytes;
    }

    /** Where a cell begins among the bytes, its quotation mark included. */
    public int begin(int cell) {
        return begins[cell];
    }

    /** Behind a cell's last byte. */
    public int end(int cell) {
        return begins[cell + 1] - 1;
    }

    /** Whether a cell's bytes are those of its text: neither quoted nor made harmless. */
    public boolean isPlain(int cell) {
        byte first = bytes[begin(cell)];
        return first != QUOTE && first != '\'';
    }

    public boolean isEmpty(int cell) {
        return begin(cell) == end(cell);
    }

    /** What was written into a cell. */
    public String text(int cell) {
        String raw = new String(bytes, begin(cell), end(cell) - begin(cell), StandardCharsets.UTF_8);
        if (raw.startsWith("\"")) raw = raw.substring(1, raw.length() - 1).replace("\"\"", "\"");
        return CsvFile.asWritten(raw);
    }

    /** Where the first line below begins that was not walked over. */
    public int rest() {
        return next;
    }
}
