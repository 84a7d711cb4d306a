// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.task.Workers;

/**
 * Which tables a cohort has, written when all are on the disk: a run that finds the same cases and these tables whole need
 * not make them again.
 *
 * @param cases checksum of all that the tables were made from
 * @param failed cases
 */
record FinishedTables(String cases, int failed, List<ListedFile> tables) {
    private static final String NAME = "tables.txt";

    static Optional<FinishedTables> read(Path out) throws IOException {
        return ListedFile.opened(out.resolve(NAME))
                .map(lines -> new FinishedTables(
                        lines.get(0),
                        Integer.parseInt(lines.get(1)),
                        lines.stream().skip(2).map(ListedFile::of).toList()));
    }

    void write(Path out) throws IOException {
        List<String> lines = new ArrayList<>(List.of(cases, Integer.toString(failed)));
        for (ListedFile table : tables) lines.add(table.line());
        ListedFile.writeClosed(out.resolve(NAME), lines);
    }

    /** Whether every table is there with the bytes it had. */
    boolean areWhole(Path out, Workers workers) throws IOException {
        return !workers.<Boolean, IOException>map(
                        tables.size(), i -> tables.get(i).isWhole(out))
                .contains(false);
    }
}
