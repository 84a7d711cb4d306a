// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.TreeSet;
import java.util.stream.Stream;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.task.InputException;

/** The finished cases in the folder of a cohort's run. */
public final class CohortFolder {
    private static final String CASES = "cases";

    private CohortFolder() {}

    /** One lesion as one reader drew it, and its folder. */
    record Drawn(String caseName, String lesion, String reader, Path folder) {}

    public static boolean is(Path folder) {
        return Files.isDirectory(folder.resolve(CASES));
    }

    /**
     * The folders of the cases, sorted.
     *
     * @throws InputException if one is not whole
     */
    public static List<Path> cases(Path cohort) throws InputException, IOException {
        List<Path> folders;
        try (Stream<Path> all = Files.list(cohort.resolve(CASES))) {
            folders = all.filter(one -> !one.getFileName().toString().startsWith("."))
                    .sorted()
                    .toList();
        }
        for (Path one : folders)
            if (!FinishedCase.is(one))
                throw new InputException(
                        one, "", "a case that is not whole", "a finished run: go on with cohort --resume");
        return folders;
    }

    static List<Drawn> drawn(Path cohort) throws InputException, IOException {
        List<Drawn> drawn = new ArrayList<>();
        for (Path folder : cases(cohort)) {
            List<LesionRow> rows = LesionTable.readTidy(folder.resolve("features.csv"));
            if (rows.isEmpty()) throw new InputException(folder, "", "no row", "the values of a lesion");
            drawn.add(new Drawn(
                    rows.get(0).caseName(),
                    rows.get(0).lesion(),
                    ManifestRow.read(folder).reader(),
                    folder));
        }
        return drawn;
    }

    /** The readers, sorted. */
    static List<String> readers(List<Drawn> drawn) {
        return List.copyOf(new TreeSet<>(drawn.stream().map(Drawn::reader).toList()));
    }
}
