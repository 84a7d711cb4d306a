// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.OutputStream;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.ResultSet;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

// Oracle: DuckDB 1.4.4 reads what we write.
class ParquetFileTest {
    private static final List<String> NAMES = List.of("case", "value", "note");

    @TempDir
    Path folder;

    @Test
    void anotherLibraryReadsTextsAndNumbersBack() throws IOException, SQLException {
        assertReadBack(List.of(
                List.of("a", "1.5", ""),
                List.of("Grüße ✓", "", "no T2 series"),
                List.of("b", "", "line\nbreak, 'quotes'"),
                List.of("c", "-1.0E-300", "x"),
                List.of("d", "0.1", "")));
    }

    @Test
    void severalRowGroupsAndLongRunsAreReadBack() throws IOException, SQLException {
        SplittableRandom random = new SplittableRandom(4);
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < 70_000; i++) {
            boolean present = i < 40_000 ? i % 900 < 700 : random.nextBoolean();
            rows.add(List.of("case-" + i / 100, present ? Double.toString(random.nextDouble()) : "", "n" + i % 7));
        }
        assertReadBack(rows);
    }

    @Test
    void aTableWithoutRowsIsReadBack() throws IOException, SQLException {
        assertReadBack(List.of());
    }

    // The numbers of the texts then take 0, 1, … bits, in runs of every length, across the border of a row group.
    @Test
    void anyNumberOfDifferentTextsInRunsOfAnyLengthIsReadBack() throws IOException, SQLException {
        SplittableRandom random = new SplittableRandom(5);
        for (int texts : new int[] {1, 2, 3, 9, 300, 70_000}) {
            List<List<String>> rows = new ArrayList<>();
            while (rows.size() < 66_000) {
                String text = "t".repeat(texts % 5) + random.nextInt(texts);
                for (int run = random.nextInt(1, 20); run > 0; run--)
                    rows.add(List.of("c" + rows.size() % texts, "", text));
            }
            assertReadBack(rows);
        }
    }

    // A reader that takes all rows as they lie must not see padding behind the last.
    @Test
    void tablesOfEverySmallLengthAreReadBack() throws IOException, SQLException {
        List<List<String>> rows = new ArrayList<>();
        for (int i = 0; i < 20; i++) {
            rows.add(List.of("case-" + i % 5, i % 3 == 0 ? "" : i + ".5", "n" + i / 9));
            assertReadBack(rows);
        }
    }

    private static void text(ParquetFile parquet, int column, String text) {
        byte[] bytes = ("<" + text).getBytes(StandardCharsets.UTF_8);
        parquet.text(column, bytes, 1, bytes.length);
    }

    private void assertReadBack(List<List<String>> rows) throws IOException, SQLException {
        Path file = folder.resolve("table.parquet");
        try (OutputStream out = Files.newOutputStream(file)) {
            ParquetFile parquet = new ParquetFile(out, NAMES, List.of("value"));
            for (List<String> row : rows) {
                text(parquet, 0, row.get(0));
                if (row.get(1).isEmpty()) parquet.noNumber(1);
                else parquet.number(1, Double.parseDouble(row.get(1)));
                text(parquet, 2, row.get(2));
                parquet.endRow();
            }
            parquet.finish();
        }
        List<List<String>> read = new ArrayList<>();
        try (Connection duck = DriverManager.getConnection("jdbc:duckdb:");
                Statement statement = duck.createStatement();
                ResultSet result = statement.executeQuery("SELECT \"case\", value, note FROM read_parquet('" + file
                        + "', file_row_number = true)" + " ORDER BY file_row_number")) {
            while (result.next()) {
                double value = result.getDouble(2);
                String text = result.wasNull() ? "" : Double.toString(value);
                read.add(List.of(result.getString(1), text, result.getString(3)));
            }
        }
        assertThat(read).hasSameSizeAs(rows);
        for (int i = 0; i < rows.size(); i++)
            assertThat(read.get(i)).as("row %d", i).isEqualTo(rows.get(i));
    }
}
