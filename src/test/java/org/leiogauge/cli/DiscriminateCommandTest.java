// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.Gaussian;

class DiscriminateCommandTest {
    @TempDir
    Path folder;

    // Oracle: how the table was made: of three features one tells, two are noise; one more is the outcome in disguise.
    @Test
    void whatTellsIsFoundAndWhatLeaksIsWarnedOf() throws Exception {
        writeTable(true, 1);
        CommandRun run = CommandRun.of("discriminate", at("table.csv"), "--outcome", "outcome", "--out", at("out"));
        assertThat(run.exit()).as(run.err()).isZero();
        assertThat(run.out()).isEqualTo(at("out/discrimination.html") + "\n");
        assertThat(run.err())
                .isEqualTo("positive is malignant, the last of the two outcomes in the alphabet; --positive chooses"
                        + " another\n");
        String page = Files.readString(folder.resolve("out/discrimination.html"));
        assertThat(page)
                .contains("leak separates the outcomes fully")
                .contains("Only 16 cases of the rarer outcome")
                .contains("With 16 positive and 24 negative cases the 95 % interval of an AUC of 0.85 spans")
                .contains("positive is malignant");
        List<List<String>> rows = table("out");
        assertThat(rows.get(0).get(0)).isEqualTo("leak");
        assertThat(rows.get(1).get(0)).isEqualTo("signal");
    }

    // Rows of one case are no independent cases.
    @Test
    void severalRowsPerCaseAreWarnedOfAndOneReaderCanBeChosen() throws Exception {
        writeTable(false, 2);
        CommandRun all = CommandRun.of("discriminate", at("table.csv"), "--outcome", "outcome", "--out", at("all"));
        assertThat(all.exit()).as(all.err()).isZero();
        assertThat(Files.readString(folder.resolve("all/discrimination.html")))
                .contains("80 rows are of 40 cases")
                .contains("--reader");
        CommandRun one = CommandRun.of(
                "discriminate", at("table.csv"), "--outcome", "outcome", "--reader", "r2", "--out", at("one"));
        assertThat(one.exit()).as(one.err()).isZero();
        assertThat(Files.readString(folder.resolve("one/discrimination.html")))
                .contains("rows of reader r2 alone were used")
                .doesNotContain("rows are of");
    }

    // Oracle: by hand: 2 positive cases and 1 negative one, where 5 of each are needed.
    @Test
    void anEmptyTableSaysWhy() throws IOException {
        Files.writeString(folder.resolve("three.csv"), "case,outcome,volume\na,yes,1\nb,yes,2\nc,no,3\n");
        CommandRun run = CommandRun.of("discriminate", at("three.csv"), "--outcome", "outcome", "--positive", "yes");
        assertThat(run.exit()).isZero();
        assertThat(run.out().lines()).hasSize(1);
        assertThat(run.err())
                .isEqualTo("no feature is judged, of 2 positive and 1 negative cases; the first: volume: measured in"
                        + " fewer than 5 cases of one class\n");
    }

    @Test
    void whatCannotBeUsedIsSaidInOneLineWithExitCode2() throws IOException {
        writeTable(false, 1);
        String table = Files.readString(folder.resolve("table.csv"));
        Files.writeString(folder.resolve("one-class.csv"), table.replace("malignant", "benign"));
        Files.writeString(folder.resolve("text.csv"), table.replaceFirst("(?m)^(c3,[^,]*,[^,]*),[^,]*", "$1,high"));
        Files.writeString(
                folder.resolve("infinite.csv"), table.replaceFirst("(?m)^(c3,[^,]*,[^,]*),[^,]*", "$1,Infinity"));
        Files.writeString(folder.resolve("only-text.csv"), "case,outcome,note\na,yes,x\nb,no,y\n");
        Files.writeString(folder.resolve("ragged.csv"), table + "c99,r1\n");
        expectRefusal("column outcome: found 1 values: benign, expected two values", "one-class.csv");
        expectRefusal("column signal: found high, expected a finite number, or an empty cell", "text.csv");
        expectRefusal("column signal: found Infinity", "infinite.csv");
        expectRefusal("header: found no column of numbers", "only-text.csv");
        expectRefusal("ragged.csv", "ragged.csv");
        expectRefusal("none.csv", "none.csv");
        expectRefusal("header: found no column grade", "table.csv", "--outcome", "grade");
        expectRefusal("found no unknown among", "table.csv", "--positive", "unknown");
        expectRefusal("column reader: found no nobody", "table.csv", "--reader", "nobody");
        expectRefusal("draws must be 10 to 100000, got 3", "table.csv", "--draws", "3");
        expectRefusal("sensitivity must be above 0 and at most 1, got 1.5", "table.csv", "--sensitivity", "1.5");
    }

    private void expectRefusal(String message, String table, String... options) {
        List<String> arguments = new java.util.ArrayList<>(List.of("discriminate", at(table)));
        if (options.length == 0 || !options[0].equals("--outcome")) arguments.addAll(List.of("--outcome", "outcome"));
        arguments.addAll(List.of(options));
        CommandRun run = CommandRun.of(arguments.toArray(String[]::new));
        assertThat(run.exit()).as(run.out()).isEqualTo(2);
        assertThat(run.err()).contains(message);
        assertThat(run.err().strip().lines()).hasSize(1);
    }

    // 16 malignant and 24 benign cases; readers differ by a little noise.
    private void writeTable(boolean withLeak, int readers) throws IOException {
        SplittableRandom random = new SplittableRandom(8);
        StringBuilder table = new StringBuilder("case,reader,outcome,signal,noise-1,noise-2");
        table.append(withLeak ? ",leak\n" : "\n");
        for (int i = 0; i < 40; i++) {
            boolean malignant = i % 5 < 2;
            double signal = Gaussian.next(random) + (malignant ? 1.5 : 0);
            for (int reader = 1; reader <= readers; reader++) {
                table.append('c').append(i).append(",r").append(reader).append(malignant ? ",malignant," : ",benign,");
                table.append(signal + 0.1 * Gaussian.next(random));
                for (int noise = 0; noise < 2; noise++) table.append(',').append(Gaussian.next(random));
                if (withLeak) table.append(',').append(malignant ? 10 + i : i % 7);
                table.append('\n');
            }
        }
        Files.writeString(folder.resolve("table.csv"), table);
    }

    private List<List<String>> table(String out) throws Exception {
        return CsvTable.read(folder.resolve(out).resolve("discrimination.csv")).rows();
    }

    private String at(String name) {
        return folder.resolve(name).toString();
    }
}
