// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import com.fasterxml.jackson.databind.JsonNode;
import com.fasterxml.jackson.databind.ObjectMapper;
import java.io.ByteArrayOutputStream;
import java.io.IOException;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class AppraiseCommandTest {
    private static final String HEADER =
            "case,lesion,region,series,group,feature,code,aggregation,value,unit,low,high,status,note\n";
    private static final String TABLE = HEADER
            + "a,L1,lesion,t2,lesion,t2 signal ratio to myometrium,,,1.36,1,1.2,1.5,ok,\n"
            + "a,L1,lesion,dwi,lesion,dwi signal ratio to reference,,endometrium,1.25,1,1.1,1.4,ok,\n"
            + "a,L1,lesion,adc,lesion,adc p50,,,0.88,10-3.mm2/s,0.82,0.97,caution,the interval is wide\n"
            + "b,L1,lesion,adc,lesion,adc p50,,,,10-3.mm2/s,,,not measured,no series\n";
    private static final String CARD = """
            id: own
            name: Own rule
            source: common practice, no source
            mark: common-practice
            population: nobody
            target: leiomyosarcoma
            criterion: {sign: low, feature: adc p50, is: below, value: 0.9, unit: 10-3.mm2/s}
            counts: [{of: us, mark: calc, true-positive: 9, false-negative: 1, false-positive: 4, true-negative: 96}]
            """;

    @TempDir
    Path folder;

    private record Run(int exit, String out, String err) {}

    @Test
    void aTableIsAppraisedInCalmWords() throws IOException {
        Run run = run("appraise", write("features.csv", TABLE), "--prevalence", "0.002");
        assertThat(run.err()).isEmpty();
        assertThat(run.exit()).isZero();
        assertThat(run.out())
                .contains(
                        "Case a, lesion L1",
                        "Case b, lesion L1",
                        "Prevalence: 0.2 %, 1 in 500 (as given; the user)",
                        "Consensus of 2022 - T2, diffusion and ADC 0.905 together: met, near its cut-off (met in ",
                        "> ADC at most 0.905 (adc p50 at most 0.905 10-3.mm2/s) - 0.88, yes",
                        "Caution: adc p50: the interval is wide",
                        "Of 10 000 women like this",
                        "none is declared",
                        "not a diagnosis");
    }

    @Test
    void aFolderAddsCardsAndTheCaseFileTheReader() throws IOException {
        write("cards/own.yaml", CARD);
        String caseFile = write("case.yaml", """
                case: a
                lesion: L1
                impression: {t2-signal: high, concern: 3, locked: 2026-03-02T10:20:00}
                """);
        Run run = run(
                "appraise",
                write("features.csv", TABLE),
                "--criteria",
                folder.resolve("cards").toString(),
                "--case",
                caseFile,
                "--json");
        assertThat(run.err()).isEmpty();
        JsonNode lesion = new ObjectMapper().readTree(run.out()).get("lesions").get(0);
        JsonNode own = lesion.get("cards").get(lesion.get("cards").size() - 1);
        assertThat(own.get("id").asText()).isEqualTo("own");
        assertThat(own.get("outcome").asText()).isEqualTo("met");
        // Oracle: by hand, 9 of 10 and 4 of 100: LR+ 0.9 / 0.04.
        assertThat(own.at("/counts/0/positive-likelihood-ratio/value").asDouble())
                .isCloseTo(22.5, org.assertj.core.data.Offset.offset(1e-12));
        assertThat(lesion.at("/comparisons/0/agreement").asText()).isEqualTo("differs");
        assertThat(lesion.at("/concern/0/grade").asInt()).isEqualTo(3);
    }

    @Test
    void whatIsUnusableIsNamedInOneLine() throws IOException {
        String table = write("features.csv", TABLE);
        for (String wrong : new String[] {"0", "1", "1.5", "-1", "often"})
            assertRefused("--prevalence: found " + wrong, "appraise", table, "--prevalence=" + wrong);
        assertRefused(
                "a table from another version",
                "appraise",
                write("old.csv", TABLE.replace("aggregation,value", "value,aggregation")));
        assertRefused("no such file", "appraise", folder.resolve("none.csv").toString());
        assertRefused("no rows", "appraise", write("empty.csv", HEADER));
        write("unknown/own.yaml", CARD.replace("adc p50", "adc p51"));
        assertRefused(
                "'adc p51'",
                "appraise",
                table,
                "--criteria",
                folder.resolve("unknown").toString());
        write("sum/own.yaml", CARD.replace("true-negative: 96", "true-negative: 96, healthy: 99"));
        assertRefused(
                "do not add up",
                "appraise",
                table,
                "--criteria",
                folder.resolve("sum").toString());
        assertRefused("it is not blind", "appraise", table, "--case", write("late.yaml", """
                        case: a
                        lesion: L1
                        numbers-shown: 2026-03-02T10:00:00
                        impression: {concern: 3, locked: 2026-03-02T10:20:00}
                        """));
        assertRefused(
                "line 3, key impression.border: found blurry",
                "appraise",
                table,
                "--case",
                write("term.yaml", "case: a\nlesion: L1\nimpression: {border: blurry}\n"));
        assertRefused(
                "no lesion L2 of case a", "appraise", table, "--case", write("other.yaml", "case: a\nlesion: L2\n"));
    }

    // Oracle: the rule, impression, lock, numbers; the impression is the README's example.
    @Test
    void theImpressionIsLockedBeforeTheNumbersAreShown() throws IOException {
        String impression = Files.readAllLines(Path.of("README.md")).stream()
                .filter(line -> line.startsWith("    impression: "))
                .findFirst()
                .orElseThrow()
                .strip();
        String table = write("features.csv", TABLE);
        String caseFile = write("case.yaml", "case: a\nlesion: L1\n" + impression + "\n");
        Run run = run("appraise", table, "--case", caseFile);
        assertThat(run.err()).isEmpty();
        assertThat(run.out())
                .containsPattern("Overall concern: 2 of 5 \\(.*\\), locked 20\\d\\d-")
                .doesNotContain("not locked");
        String noted = Files.readString(Path.of(caseFile));
        assertThat(noted).startsWith("numbers-shown: 20").contains("impression: {locked: 20");
        assertThat(run("appraise", table, "--case", caseFile).exit()).isZero();
        assertThat(Path.of(caseFile)).hasContent(noted);
        String none = write("none.yaml", "case: a\nlesion: L1\n");
        assertThat(run("appraise", table, "--case", none).exit()).isZero();
        write("none.yaml", Files.readString(Path.of(none)) + impression + "\n");
        assertRefused("it is not blind", "appraise", table, "--case", none);
    }

    @Test
    void hostileTextShowsNoControlCharacters() throws IOException {
        Run run = run("appraise", write("features.csv", TABLE.replace("a,L1", "\u001b[31m\u202ea,L1")));
        assertThat(run.exit()).isZero();
        assertThat(run.out()).doesNotContain("\u001b", "\u202e");
    }

    private static void assertRefused(String message, String... arguments) throws IOException {
        Run run = run(arguments);
        assertThat(run.err()).contains(message).doesNotContain("\tat ");
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.out()).isEmpty();
        assertThat(run.exit()).isEqualTo(2);
    }

    private static Run run(String... arguments) throws IOException {
        PrintStream before = System.out;
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        StringWriter err = new StringWriter();
        try (PrintStream caught = new PrintStream(out, true, StandardCharsets.UTF_8)) {
            System.setOut(caught);
            int exit = Main.commandLine().setErr(new PrintWriter(err)).execute(arguments);
            return new Run(exit, out.toString(StandardCharsets.UTF_8), err.toString());
        } finally {
            System.setOut(before);
        }
    }

    private String write(String name, String text) throws IOException {
        Path file = folder.resolve(name);
        Files.createDirectories(file.getParent());
        return Files.writeString(file, text).toString();
    }
}
