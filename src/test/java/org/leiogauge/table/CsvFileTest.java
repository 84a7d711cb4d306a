// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;

class CsvFileTest {
    @TempDir
    Path folder;

    // Oracle: the lines as an editor counts them, written out by hand.
    @Test
    void linesAreCountedAsAnEditorCountsThemBlankOnesAndThoseInQuotesToo() throws IOException, InputException {
        assertThat(CsvFile.read(file("\na,b\n\n\n1,\"x\ny\"\n2,z\r\n\r\n3,w")))
                .extracting(CsvFile.Line::number)
                .containsExactly(2L, 5L, 7L, 9L);
    }

    @Test
    void aFaultIsToldByTheLineItIsIn() throws IOException {
        Path shorter = file("a,b\n\n1,2\n\n3\n");
        assertThatThrownBy(() -> CsvFile.read(shorter))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("line 5: found 1 cells, expected 2 cells");
        Path open = file("a,b\n1,2\n3,\"4\n");
        assertThatThrownBy(() -> CsvFile.read(open))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("line 3: found a quotation mark");
    }

    private Path file(String text) throws IOException {
        return Files.writeString(folder.resolve("table.csv"), text);
    }
}
