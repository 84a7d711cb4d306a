// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class CsvBytesTest {
    private static final List<String> COLUMNS = List.of("a", "b,c", "d");

    @TempDir
    Path folder;

    // Oracle: the reader that takes any CSV.
    @Test
    void anyCellsAreReadAsTheGeneralReaderReadsThem() throws Exception {
        SplittableRandom random = new SplittableRandom(6);
        for (int draw = 0; draw < 200; draw++) {
            List<List<String>> rows = new ArrayList<>();
            for (int left = random.nextInt(4); left > 0; left--)
                rows.add(List.of(cell(random), cell(random), cell(random)));
            Path file = folder.resolve("table.csv");
            CsvFile.write(file, COLUMNS, rows);
            assertThat(cells(CsvBytes.read(file, COLUMNS)))
                    .isEqualTo(CsvTable.read(file).rows());
            CsvBytes any = CsvBytes.NONE.another(file);
            assertThat(any.header()).isEqualTo(COLUMNS);
            assertThat(cells(any)).isEqualTo(rows);
            CsvBytes again = any.another(file);
            assertThat(again.header()).isSameAs(any.header());
            assertThat(cells(again)).isEqualTo(rows);
        }
    }

    private static String cell(SplittableRandom random) {
        String letters = "ab1.,\"\n\r'=-+@ #ü✓";
        StringBuilder cell = new StringBuilder();
        for (int left = random.nextInt(5); left > 0; left--)
            cell.append(letters.charAt(random.nextInt(letters.length())));
        return cell.toString();
    }

    private static List<List<String>> cells(CsvBytes table) throws IOException {
        List<List<String>> rows = new ArrayList<>();
        while (table.next()) {
            rows.add(List.of(table.text(0), table.text(1), table.text(2)));
            for (int cell = 0; cell < 3; cell++) {
                int length = table.end(cell) - table.begin(cell);
                assertThat(table.isEmpty(cell)).isEqualTo(length == 0);
                if (table.isPlain(cell))
                    assertThat(new String(table.bytes(), table.begin(cell), length, StandardCharsets.UTF_8))
                            .isEqualTo(table.text(cell));
            }
        }
        return rows;
    }

    // Oracle: counted in the text below.
    @Test
    void aTableOfAnotherFormIsRefusedWithItsLine() throws IOException {
        assertRefused("x,y,z\n", "another header");
        assertRefused("a", "another header");
        assertRefused("a,\"b,c\",d\n1,2,3\n1,2\n", "line 3 has 2 cells, expected 3 cells");
        assertRefused("a,\"b,c\",d\n1,2,3,4\n", "line 2 has more than 3 cells");
        assertRefused("a,\"b,c\",d\n1,2,3", "line 2 has no end");
        assertRefused("a,\"b,c\",d\n1,2,\"3\n", "line 2 has no end");
    }

    @Test
    void anEmptyFileIsNoTable() throws IOException {
        Path file = Files.createFile(folder.resolve("empty.csv"));
        assertThatThrownBy(() -> CsvBytes.NONE.another(file)).hasMessageEndingWith("is empty");
    }

    private void assertRefused(String text, String message) throws IOException {
        Path file = Files.writeString(folder.resolve("other.csv"), text);
        assertThatThrownBy(() -> {
                    CsvBytes table = CsvBytes.read(file, COLUMNS);
                    while (table.next()) assertThat(table.header()).isEqualTo(COLUMNS);
                })
                .isInstanceOf(IOException.class)
                .hasMessageContaining(message);
    }
}
