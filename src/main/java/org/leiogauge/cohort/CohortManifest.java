// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.Collections;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.leiogauge.table.CsvFile;
import org.leiogauge.task.InputException;

/**
 * The list of cases to measure, one row per outline.
 *
 * @param cases in the order of the file
 * @param checksum of the file's bytes, SHA-256
 */
public record CohortManifest(Path file, List<CohortCase> cases, String checksum) {
    private static final List<String> REQUIRED = List.of("case", "study", "outline");
    private static final List<String> OPTIONAL = List.of("case-file", "site", "reader", "outcome");

    public CohortManifest {
        cases = List.copyOf(cases);
    }

    /** Where the files lie that a manifest names. */
    public interface Places {
        /** Those of this machine. */
        Places HERE = new Places() {
            @Override
            public Path of(Path manifest, String cell) {
                return manifest.resolveSibling(cell).normalize();
            }

            @Override
            public boolean isThere(Path path) {
                return Files.exists(path);
            }

            @Override
            public boolean isFile(Path path) {
                return Files.isRegularFile(path);
            }
        };

        /** What a cell of the manifest names. */
        Path of(Path manifest, String cell);

        boolean isThere(Path path);

        boolean isFile(Path path);
    }

    /** Reads a manifest of this machine; its paths are relative to its own folder. */
    public static CohortManifest read(Path file) throws InputException {
        return read(file, file, Places.HERE);
    }

    /**
     * Reads a manifest; its paths are relative to its own folder.
     *
     * @param copy of the manifest on this machine
     * @param file where it came from
     * @throws InputException naming line and column, if a column is unknown, missing or has a cell that cannot be used, a
     *     file is not there, or one outline of a case is listed twice
     */
    public static CohortManifest read(Path copy, Path file, Places places) throws InputException {
        List<CsvFile.Line> lines = CsvFile.read(copy);
        List<String> columns = lines.get(0).cells();
        requireColumns(file, columns);
        if (lines.size() == 1) throw new InputException(file, "", "no row below the header", "a case per row");
        List<CohortCase> cases = new ArrayList<>();
        for (CsvFile.Line line : lines.subList(1, lines.size()))
            cases.add(new Row(file, places, line.number(), columns, line.cells()).read());
        requireDifferent(file, cases);
        try {
            return new CohortManifest(file, cases, Checksum.of(copy));
        } catch (IOException e) {
            throw InputException.unreadable(file, e, "a manifest");
        }
    }

    private static void requireColumns(Path file, List<String> columns) throws InputException {
        String all = String.join(", ", REQUIRED) + ", " + String.join(", ", OPTIONAL);
        for (String column : columns)
            if (Collections.frequency(columns, column) > 1)
                throw new InputException(file, "header", "two columns named " + column, "each name once");
            else if (!REQUIRED.contains(column) && !OPTIONAL.contains(column))
                throw new InputException(file, "header", "the unknown column " + column, "some of " + all);
        for (String column : REQUIRED)
            if (!columns.contains(column))
                throw new InputException(file, "header", "no column " + column, String.join(", ", REQUIRED));
    }

    private static void requireDifferent(Path file, List<CohortCase> cases) throws InputException {
        Map<List<Object>, Long> seen = new HashMap<>();
        for (CohortCase one : cases) {
            Long before = seen.putIfAbsent(List.of(one.name(), one.reader(), one.caseFile()), one.line());
            if (before != null)
                throw new InputException(
                        file,
                        "line " + one.line() + ", column case",
                        one.name() + " by reader '" + one.reader() + "' again, as in line " + before,
                        "another reader, or another case-file for another lesion");
        }
    }

    /**
     * One row on its way to a case.
     *
     * @param number the line of the file where it begins
     */
    private record Row(Path file, Places places, long number, List<String> columns, List<String> cells) {
        CohortCase read() throws InputException {
            String name = name("case");
            if (name.isEmpty()) throw wrong("case", "nothing", Name.WORDS);
            Path study = path("study");
            if (!places.isThere(study)) throw wrong("study", study + ", which is not there", "a study's folder");
            Optional<Path> caseFile = text("case-file").isEmpty() ? Optional.empty() : Optional.of(given("case-file"));
            return new CohortCase(
                    number, name, study, given("outline"), caseFile, name("site"), name("reader"), name("outcome"));
        }

        private String text(String column) {
            int at = columns.indexOf(column);
            return at < 0 ? "" : cells.get(at).strip();
        }

        private String name(String column) throws InputException {
            String text = text(column);
            if (text.isEmpty() || Name.is(text)) return text;
            throw wrong(column, text, Name.WORDS);
        }

        private Path given(String column) throws InputException {
            Path path = path(column);
            if (!places.isFile(path)) throw wrong(column, path + ", which is not there", "a file");
            return path;
        }

        private Path path(String column) throws InputException {
            if (text(column).isEmpty()) throw wrong(column, "nothing", "a path, relative to the manifest");
            try {
                return places.of(file, text(column));
            } catch (InvalidPathException e) {
                throw wrong(column, text(column), "a path, relative to the manifest");
            }
        }

        private InputException wrong(String column, String found, String expected) {
            return new InputException(file, "line " + number + ", column " + column, found, expected);
        }
    }
}
