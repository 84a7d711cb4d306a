// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;

class LesionTableTest {
    private static final Definition VOLUME =
            new Definition("lesion", "volume", "RNU0", "mm3", "Volume of the region.", "IBSI (RNU0)");
    private static final Definition RISE = new Definition(
            "lesion",
            "relative enhancement",
            "",
            "%",
            "Signal gained, \"in\" percent, of the first.",
            "common practice, no source");

    @TempDir
    Path folder;

    private final List<LesionRow> rows = List.of(
            row("a", VOLUME, "", new Measurement.Measured(0.1 + 0.2), Optional.of(new Interval(1e-5, 0.5)), ""),
            row("a", RISE, "30 s", new Measurement.Measured(120), Optional.empty(), "interval is wide"),
            row("=1+1", VOLUME, "", new Measurement.NotMeasured("no outline, sorry"), Optional.empty(), ""));

    private static LesionRow row(
            String caseName,
            Definition definition,
            String phase,
            Measurement measurement,
            Optional<Interval> interval,
            String caution) {
        return new LesionRow(
                caseName,
                "L1",
                "lesion",
                phase.isEmpty() ? "" : "post-contrast",
                new FeatureValue(definition, new Aggregation(phase, ""), measurement),
                interval,
                caution);
    }

    // Oracle: RFC 4180 and the columns of the table contract, written out by hand.
    @Test
    void theTidyTableHasOneRowPerValueAndFormulasAreHarmless() throws IOException {
        Path file = folder.resolve("features.csv");
        LesionTable.writeTidy(file, rows);
        assertThat(Files.readString(file)).isEqualTo("""
                case,lesion,region,series,group,feature,code,aggregation,value,unit,low,high,status,note
                a,L1,lesion,,lesion,volume,RNU0,,0.30000000000000004,mm3,1.0E-5,0.5,ok,
                a,L1,lesion,post-contrast,lesion,relative enhancement,,30 s,120.0,%,,,caution,interval is wide
                '=1+1,L1,lesion,,lesion,volume,RNU0,,,mm3,,,not measured,"no outline, sorry"
                """);
    }

    @Test
    void theWideTableHasOneRowPerLesionAndTheDictionaryOneRowPerColumn() throws IOException {
        Path wide = folder.resolve("wide.csv");
        LesionTable.writeWide(wide, rows);
        assertThat(Files.readString(wide)).isEqualTo("""
                case,lesion,lesion/lesion/volume,lesion/post-contrast/lesion/relative-enhancement/30-s
                a,L1,0.30000000000000004,120.0
                '=1+1,L1,,
                """);
        Path dictionary = folder.resolve("dictionary.csv");
        LesionTable.writeDictionary(dictionary, rows, row -> "");
        assertThat(Files.readAllLines(dictionary))
                .hasSize(3)
                .element(2)
                .asString()
                .endsWith("%,\"Signal gained, \"\"in\"\" percent, of the first.\",\"common practice, no source\"");
    }

    @Test
    void aNegativeNumberStaysANumber() throws IOException {
        Path file = folder.resolve("f.csv");
        FeatureFile.write(file, List.of(new FeatureValue(VOLUME, Aggregation.NONE, new Measurement.Measured(-2.5))));
        assertThat(Files.readString(file)).endsWith("lesion,volume,RNU0,,,-2.5,mm3,\n");
    }

    // Oracle: the rows themselves; a table has no room for meaning and source.
    @Test
    void whatWasWrittenComesBack() throws IOException, InputException {
        for (String name :
                List.of("=1+1", "'=1+1", "''", "'", "'tis", "-", "-2", "@x", "+x", "\t", "\r", "a,\"b\"\nc", "é✓")) {
            Definition odd = new Definition("lesion", name, "'", "mm3", "", "");
            LesionRow row = new LesionRow(
                    name,
                    name,
                    "lesion",
                    "'t2",
                    new FeatureValue(odd, new Aggregation(name, ""), new Measurement.Measured(-1e-300)),
                    Optional.of(new Interval(-2, 3)),
                    "'" + name);
            if (name.isBlank()) continue;
            Path file = folder.resolve("odd.csv");
            LesionTable.writeTidy(file, List.of(row));
            assertThat(LesionTable.readTidy(file)).as(name).containsExactly(row);
        }
        Path file = folder.resolve("features.csv");
        LesionTable.writeTidy(file, rows);
        assertThat(LesionTable.readTidy(file))
                .extracting(LesionRow::caseName, LesionRow::status, LesionRow::interval, LesionRow::note)
                .containsExactlyElementsOf(rows.stream()
                        .map(r -> org.assertj.core.groups.Tuple.tuple(r.caseName(), r.status(), r.interval(), r.note()))
                        .toList());
    }

    @Test
    void aTableFromAnotherVersionAndHostileCellsAreRefused() {
        String header = String.join(",", LesionTable.COLUMNS) + "\n";
        assertRefused(header.replace(",low", ""), "header: found case,lesion", "a table from another version");
        assertRefused("", "an empty file", "a table with a header");
        assertRefused(header + "a,L1\n", "line 2: found 2 cells, expected 14 cells", "");
        assertRefused(header + line("1e999", "", "", "ok", ""), "line 2, column value: found 1e999", "finite number");
        assertRefused(header + line("NaN", "", "", "ok", ""), "column value: found NaN", "");
        assertRefused(header + line("1", "2", "", "ok", ""), "column low", "both or none");
        assertRefused(header + line("1", "2", "1", "ok", ""), "column low: found 2, expected at most high, 1", "");
        assertRefused(header + line("1", "", "", "fine", ""), "column status: found fine", "not measured");
        assertRefused(header + line("", "", "", "ok", "why"), "column status: found ok, expected not measured", "");
        assertRefused(header + line("", "", "", "not measured", ""), "column note: found nothing", "");
        assertRefused(header + line("1", "", "", "ok", "").repeat(2), "line 3: found the value of line 2 again", "");
        assertRefused(header + line("1", "", "", "ok", "\"open"), "line 2", "CSV");
        assertRefused(header + line("1", "", "", "ok", "").replace("a,", ","), "column case: found nothing", "");
    }

    private static String line(String value, String low, String high, String status, String note) {
        return "a,L1,lesion,,lesion,volume,,," + String.join(",", value, "mm3", low, high, status, note) + "\n";
    }

    private void assertRefused(String text, String... messages) {
        assertThatThrownBy(() -> LesionTable.readTidy(Files.writeString(folder.resolve("bad.csv"), text)))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("bad.csv")
                .satisfies(e -> assertThat(e.getMessage()).contains(messages));
    }
}
