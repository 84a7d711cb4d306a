// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

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
        LesionTable.writeDictionary(dictionary, rows);
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
}
