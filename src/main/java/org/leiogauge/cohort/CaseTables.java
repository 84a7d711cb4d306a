// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.io.IOException;
import java.nio.file.Path;
import org.leiogauge.table.CsvBytes;
import org.leiogauge.table.LesionTable;

/**
 * The tables of one finished case, read when they are asked for.
 *
 * @param dictionary the checksum of the dictionary, which many cases share
 */
record CaseTables(CohortCase one, String lesion, Path folder, String dictionary) {
    CsvBytes tidy() throws IOException {
        return CsvBytes.read(folder.resolve(FinishedCase.TIDY), LesionTable.COLUMNS);
    }

    /** @param before the table of another case, which most likely has the same header */
    CsvBytes wide(CsvBytes before) throws IOException {
        return wide(folder, before);
    }

    /** As {@link #wide(CsvBytes)}, of a case of which no more is known than its folder; on its one line. */
    static CsvBytes wide(Path folder, CsvBytes before) throws IOException {
        Path file = folder.resolve(FinishedCase.WIDE);
        CsvBytes table = before.another(file);
        if (!table.next()) throw new IOException(file + " has no row");
        return table;
    }

    CsvBytes meanings() throws IOException {
        return CsvBytes.read(folder.resolve(FinishedCase.DICTIONARY), LesionTable.DICTIONARY_COLUMNS);
    }
}
