// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import java.util.HashSet;
import java.util.List;
import java.util.Set;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.CsvWriter;
import org.leiogauge.table.LesionTable;

/** The dictionary of all cases: a column's meaning is that of the first case that has the column. */
final class CohortDictionary {
    private CohortDictionary() {}

    static ListedFile write(Path out, List<CaseTables> cases) throws IOException {
        Set<String> read = new HashSet<>();
        Set<String> columns = new HashSet<>();
        try (PendingFile file = new PendingFile(out, FinishedCase.DICTIONARY)) {
            file.stream().write(CsvWriter.line(LesionTable.DICTIONARY_COLUMNS));
            for (CaseTables one : cases) {
                if (!read.add(one.dictionary())) continue;
                CsvBytes table = one.meanings();
                while (table.next())
                    if (columns.add(table.text(0)))
                        file.stream().write(table.bytes(), table.begin(0), table.rest() - table.begin(0));
            }
            return file.keep();
        }
    }
}
