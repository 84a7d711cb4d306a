// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.file.Path;
import java.util.List;

/** The features of one image and mask as CSV, one row per feature and aggregation. */
public final class FeatureFile {
    /** The columns, in order. */
    public static final List<String> COLUMNS =
            List.of("family", "feature", "code", "aggregation", "aggregation_code", "value", "unit", "note");

    private FeatureFile() {}

    /** Writes the table; what is not measured is an empty cell with the reason in {@code note}. */
    public static void write(Path file, List<FeatureValue> values) throws IOException {
        CsvFile.write(file, COLUMNS, rows(values));
    }

    /** The same onto a stream, which stays open. */
    public static void write(OutputStream out, List<FeatureValue> values) throws IOException {
        CsvFile.write(out, COLUMNS, rows(values));
    }

    /** The same as a table in memory. */
    public static CsvTable table(List<FeatureValue> values) {
        return new CsvTable(COLUMNS, rows(values));
    }

    private static List<List<String>> rows(List<FeatureValue> values) {
        return values.stream().map(FeatureFile::row).toList();
    }

    private static List<String> row(FeatureValue feature) {
        Definition definition = feature.definition();
        return List.of(
                definition.group(),
                definition.feature(),
                definition.code(),
                feature.aggregation().name(),
                feature.aggregation().code(),
                feature.measurement().text(),
                definition.unit(),
                feature.measurement().reason());
    }
}
