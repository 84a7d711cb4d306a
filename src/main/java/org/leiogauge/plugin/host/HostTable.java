// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin.host;

import ij.measure.ResultsTable;
import java.util.List;
import java.util.Set;
import java.util.stream.Stream;
import org.leiogauge.table.CsvTable;

/**
 * A table of ours as a table of the host: the same columns, those that a reader looks for first; numbers as numbers, an empty
 * cell of a number as not a number.
 */
final class HostTable {
    private static final Set<String> NUMBERS = Set.of("value", "low", "high");
    private static final List<String> FIRST = List.of("feature", "aggregation", "value", "unit", "low", "high");
    // Significant digits that the host shows and saves at most; in the open table all are there.
    private static final int DIGITS = 9;

    private HostTable() {}

    static void show(String title, CsvTable table) {
        ResultsTable shown = new ResultsTable();
        shown.setPrecision(-DIGITS);
        List<String> order = Stream.concat(FIRST.stream(), table.columns().stream())
                .distinct()
                .filter(table.columns()::contains)
                .toList();
        for (List<String> row : table.rows()) {
            shown.addRow();
            for (String column : order)
                add(shown, column, row.get(table.columns().indexOf(column)));
        }
        shown.show(title);
    }

    private static void add(ResultsTable shown, String column, String cell) {
        if (!NUMBERS.contains(column)) shown.addValue(column, cell);
        else shown.addValue(column, cell.isEmpty() ? Double.NaN : Double.parseDouble(cell));
    }
}
