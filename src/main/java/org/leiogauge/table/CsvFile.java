// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.io.OutputStream;
import java.io.UncheckedIOException;
import java.nio.charset.CharacterCodingException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.apache.commons.csv.CSVFormat;
import org.apache.commons.csv.CSVParser;
import org.apache.commons.csv.CSVRecord;
import org.leiogauge.task.InputException;
import org.leiogauge.task.WholeFile;

/**
 * Tables as CSV, written and read: UTF-8, LF, a comma between cells, {@code .} in numbers.
 *
 * <p>A text that a spreadsheet would run as a formula gets an apostrophe in front, and so does one that begins with an
 * apostrophe: what was written comes back as it was.
 */
public final class CsvFile {
    static final CSVFormat FORMAT =
            CSVFormat.DEFAULT.builder().setRecordSeparator('\n').get();
    private static final String ESCAPED = "=+-@\t\r'";
    private static final int LARGEST_BYTES = 256 << 20;

    /** One line of cells, and where it begins in the file. */
    public record Line(long number, List<String> cells) {}

    private CsvFile() {}

    public static void write(Path file, List<String> columns, List<List<String>> rows) throws IOException {
        WholeFile.write(file, out -> write(out, columns, rows));
    }

    static void write(OutputStream out, List<String> columns, List<List<String>> rows) throws IOException {
        CsvWriter writer = new CsvWriter(out, columns);
        for (List<String> row : rows) writer.row(row);
        writer.flush();
    }

    /**
     * The lines below the header.
     *
     * @param columns what the header must be
     * @throws InputException if the header is another, a line has another number of cells, or it is no CSV in UTF-8
     */
    static List<Line> read(Path file, List<String> columns) throws InputException {
        List<Line> lines = read(file);
        checkHeader(file, lines.get(0).cells(), columns);
        return lines.subList(1, lines.size());
    }

    /**
     * All lines, the header first; each has as many cells as the header.
     *
     * @throws InputException if a line has another number of cells, or it is no CSV in UTF-8
     */
    public static List<Line> read(Path file) throws InputException {
        String text = text(file);
        List<Line> lines = new ArrayList<>();
        long at = 1;
        int counted = 0;
        long next = 1;
        try (CSVParser parser = CSVParser.parse(text, FORMAT)) {
            for (CSVRecord record : parser) {
                int begin = behindBlankLines(text, (int) record.getCharacterPosition());
                at += lineEnds(text, counted, begin);
                counted = begin;
                List<String> cells = record.stream().map(CsvFile::asWritten).toList();
                int wanted =
                        lines.isEmpty() ? cells.size() : lines.get(0).cells().size();
                if (cells.size() != wanted)
                    throw new InputException(file, "line " + at, cells.size() + " cells", wanted + " cells");
                lines.add(new Line(at, cells));
                next = parser.getCurrentLineNumber() + 1;
            }
        } catch (IOException | UncheckedIOException e) {
            throw new InputException(file, "line " + next, "a quotation mark that is not closed or not alone", "CSV");
        }
        if (lines.isEmpty()) throw new InputException(file, "", "an empty file", "a table with a header");
        return lines;
    }

    // The parser skips them, but lets the record begin with them.
    private static int behindBlankLines(String text, int from) {
        int at = from;
        while (at < text.length() && (text.charAt(at) == '\n' || text.charAt(at) == '\r')) at++;
        return at;
    }

    // LF, CR LF or CR alone, as the parser takes them.
    private static long lineEnds(String text, int from, int to) {
        long ends = 0;
        for (int i = from; i < to; i++) {
            char c = text.charAt(i);
            if (c == '\n' || c == '\r' && !text.startsWith("\n", i + 1)) ends++;
        }
        return ends;
    }

    private static void checkHeader(Path file, List<String> found, List<String> columns) throws InputException {
        if (!found.equals(columns))
            throw new InputException(
                    file,
                    "header",
                    String.join(",", found),
                    String.join(",", columns) + " (a table from another version, or another table)");
    }

    private static String text(Path file) throws InputException {
        if (!Files.isRegularFile(file)) throw new InputException(file, "", "no such file", "a CSV table");
        try {
            if (Files.size(file) > LARGEST_BYTES)
                throw new InputException(
                        file, "", Files.size(file) + " bytes", "a table of at most " + LARGEST_BYTES + " bytes");
            return Files.readString(file);
        } catch (CharacterCodingException e) {
            throw new InputException(file, "", "no UTF-8 text", "a CSV table");
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a CSV table");
        }
    }

    /** Full double precision. */
    static String number(double value) {
        return Double.toString(value);
    }

    static String harmless(String cell) {
        return !cell.isEmpty() && ESCAPED.indexOf(cell.charAt(0)) >= 0 && !isNumber(cell) ? "'" + cell : cell;
    }

    static String asWritten(String cell) {
        boolean escaped = cell.length() > 1 && cell.charAt(0) == '\'' && ESCAPED.indexOf(cell.charAt(1)) >= 0;
        return escaped ? cell.substring(1) : cell;
    }

    private static boolean isNumber(String cell) {
        try {
            return Double.isFinite(Double.parseDouble(cell));
        } catch (NumberFormatException e) {
            return false;
        }
    }
}
