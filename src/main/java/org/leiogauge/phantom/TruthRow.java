// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.io.IOException;
import java.nio.file.Path;
import java.util.List;
import org.leiogauge.table.CsvFile;
import org.leiogauge.table.Measurement;

/**
 * The true value of one feature, or why there is none.
 *
 * @param aggregation what tells values of one feature apart, as {@code 30 s}; empty for most
 * @param unit in UCUM
 * @param note how it is defined over the continuous object
 */
record TruthRow(String feature, String aggregation, Measurement measurement, String unit, String note) {
    static final List<String> COLUMNS = List.of("feature", "aggregation", "value", "unit", "note");

    static TruthRow of(String feature, double value, String unit, String note) {
        return of(feature, "", value, unit, note);
    }

    static TruthRow of(String feature, String aggregation, double value, String unit, String note) {
        return new TruthRow(feature, aggregation, new Measurement.Measured(value), unit, note);
    }

    static TruthRow none(String feature, String unit, String reason) {
        return new TruthRow(feature, "", new Measurement.NotMeasured(reason), unit, "");
    }

    static void write(Path file, List<TruthRow> rows) throws IOException {
        CsvFile.write(file, COLUMNS, rows.stream().map(TruthRow::cells).toList());
    }

    private List<String> cells() {
        return List.of(feature, aggregation, measurement.text(), unit, note.isEmpty() ? measurement.reason() : note);
    }
}
