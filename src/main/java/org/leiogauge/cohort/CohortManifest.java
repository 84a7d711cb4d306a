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
 * @param missing per case what its row names and is not there, if so: such a case fails, and stops no other
 * @param checksum of the file's bytes, SHA-256
 */
public record CohortManifest(Path file, List<CohortCase> cases, List<Optional<String>> missing, String checksum) {
    private static final List<String> REQUIRED = List.of("case", "study", "outline");
    private static final List<String> OPTIONAL = List.of("case-file", "site", "reader", "outcome");

    public CohortManifest {
        cases = List.copyOf(cases);
        missing = List.copyOf(missing);
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
     * @throws InputException naming line and column, if a column is unknown, missing or has a cell that cannot be used, or
     *     one outline of a case is listed twice
     */
    public static CohortManifest read(Path copy, Path file, Places places) throws InputException {
        List<CsvFile.Line> lines = CsvFile.read(copy);
        List<String> columns = lines.get(0).cells();
        requireColumns(file, columns);
        if (lines.size() == 1) throw new InputException(file, "", "no row below the header", "a case per row");
        List<CohortCase> cases = new ArrayList<>();
        List<Optional<String>> missing = new ArrayList<>();
        for (CsvFile.Line line : lines.subList(1, lines.size())) {
            Row row = new Row(file, places, line.number(), columns, line.cells());
            CohortCase one = row.read();
            cases.add(one);
            missing.add(row.missing(one));
        }
        requireDifferent(file, cases);
        try {
            return new CohortManifest(file, cases, missing, Checksum.of(copy));
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
            Optional<Path> caseFile = text("case-file").isEmpty() ? Optional.empty() : Optional.of(path("case-file"));
            return new CohortCase(
                    number,
                    name,
                    path("study"),
                    path("outline"),
                    caseFile,
                    name("site"),
                    name("reader"),
                    name("outcome"));
        }

        Optional<String> missing(CohortCase one) {
            if (!places.isThere(one.study())) return missing("study", one.study(), "a study's folder");
            if (!places.isFile(one.outline())) return missing("outline", one.outline(), "a file");
            return one.caseFile()
                    .filter(file -> !places.isFile(file))
                    .flatMap(file -> missing("case-file", file, "a file"));
        }

        private Optional<String> missing(String column, Path path, String expected) {
            return Optional.of(
                    wrong(column, path + ", which is not there", expected).getMessage());
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
