// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import com.fasterxml.jackson.annotation.JsonProperty;
import java.io.IOException;
import java.nio.file.AccessDeniedException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class YamlTest {
    enum Colour {
        DARK_RED,
        BLUE
    }

    record Part(int bins, Optional<Double> width) {
        Part {
            if (bins < 1) throw new IllegalArgumentException("bins must be 1 or more, got " + bins);
        }
    }

    record Choices(
            Map<Colour, Integer> counts,
            @JsonProperty("named") String otherwise) {}

    record Whole(String caseName, Colour colour, List<Part> parts) {}

    @Test
    void aRecordComesBackAsItWas() throws InputException {
        Whole whole =
                new Whole("a", Colour.DARK_RED, List.of(new Part(3, Optional.empty()), new Part(4, Optional.of(2.5))));
        String text = Yaml.PLAIN.text(whole);
        assertThat(text).contains("case-name: a").contains("colour: dark-red");
        assertThat(Yaml.PLAIN.parse(text, "f", Whole.class)).isEqualTo(whole);
    }

    @Test
    void anUnknownKeyIsNamedWithItsLine() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("bins: 3\nbinz: 4\n", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessage("f.yaml: line 2, key binz: found the unknown key 'binz', expected one of bins, width");
    }

    @Test
    void aRecordsOwnCheckIsTheMessage() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("bins: 0", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("bins must be 1 or more, got 0");
    }

    @Test
    void aFractionIsNoWholeNumber() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("width: 1\nbins: 2.5\n", "f.yaml", Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageStartingWith("f.yaml: line 2, key bins: ");
    }

    // Oracle: the form of the product's own errors: place, what was found, what was expected, no word of a library.
    @Test
    void aValueOfAnotherKindIsSaidInPlainWords() {
        assertWhole("case-name: [a]", "line 1, key case-name: found a list, expected a text");
        assertWhole("colour: green", "line 1, key colour: found \"green\", expected one of dark-red, blue");
        assertWhole("colour: [blue]", "line 1, key colour: found a list, expected one of dark-red, blue");
        assertWhole("parts: 3", "line 1, key parts: found 3, expected a list");
        assertWhole("parts:\n- 3\n", "line 2, key parts.[0]: found 3, expected keys as bins, width");
        assertWhole("parts:\n- bins: abc\n", "line 2, key parts.[0].bins: found \"abc\", expected a whole number");
        assertWhole("parts:\n- bins: 2.5\n", "line 2, key parts.[0].bins: found 2.5, expected a whole number");
        assertWhole(
                "parts:\n- bins: {a: 1}\n",
                "line 2, key parts.[0].bins: found keys with values, expected a whole number");
        assertWhole(
                "parts:\n- {bins: 1, width: 5.8 cm}\n",
                "line 2, key parts.[0].width: found \"5.8 cm\", expected a number");
        assertWhole("parts:\n- {width: 5.8}\n", "line 2, key parts.[0].bins: found nothing, expected a whole number");
        assertWhole("[a]", "line 1: found a list, expected keys as case-name, colour, parts");
        assertWhole("", "found an empty file, expected keys as case-name, colour, parts");
        assertWhole("# nothing yet\n", "found an empty file, expected keys as case-name, colour, parts");
        assertWhole("colour: blue\ncolour: blue\n", "line 2: found the key 'colour' twice, expected each key once");
        assertWhole(
                "colour: blue: red",
                "line 1: found text that is no YAML (mapping values are not allowed here), expected YAML");
        assertThatThrownBy(
                        () -> Yaml.PLAIN.override(new Part(3, Optional.empty()), List.of("width=5.8 cm"), Part.class))
                .hasMessage("--set width=5.8 cm: key width: found \"5.8 cm\", expected a number");
    }

    @Test
    void keysAreNamedAsTheyAreWritten() {
        assertThatThrownBy(() -> Yaml.PLAIN.parse("", "f.yaml", Choices.class))
                .hasMessage("f.yaml: found an empty file, expected keys as counts, named");
        assertThatThrownBy(() -> Yaml.PLAIN.parse("counts: {green: 3}", "f.yaml", Choices.class))
                .hasMessage(
                        "f.yaml: line 1, key counts: found the unknown key 'green', expected one of dark-red, blue");
    }

    @Test
    void aFileThatCannotBeReadIsNotCalledAnotherKind(@TempDir Path folder) throws IOException, InterruptedException {
        Path closed = Files.writeString(folder.resolve("closed.yaml"), "bins: 3");
        Unprivileged.close(closed.toFile());
        assertThat(Unprivileged.run(Reading.class, closed).lines())
                .containsExactly(closed + ": found no permission to read it, expected a YAML file");
    }

    /** Reads the file that is given, and prints why it cannot. */
    static final class Reading {
        public static void main(String[] names) {
            try {
                Yaml.content(Path.of(names[0]));
            } catch (InputException e) {
                System.out.println(e.getMessage());
            }
        }
    }

    @Test
    void theReasonOfAnUnreadableFileIsSaid() {
        assertThat(InputException.unreadable("f", new AccessDeniedException("f"), "a text"))
                .hasMessage("f: found no permission to read it, expected a text");
        assertThat(InputException.unreadable("f", new IOException("Input/output error"), "a text"))
                .hasMessage("f: found a file that cannot be read: Input/output error, expected a text");
    }

    private static void assertWhole(String text, String message) {
        assertThatThrownBy(() -> Yaml.PLAIN.parse(text, "f.yaml", Whole.class))
                .isInstanceOf(InputException.class)
                .hasMessage("f.yaml: " + message);
    }

    @Test
    void tagsDuplicatesBombsAndDepthAreRefused() {
        String bomb = "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nd: [*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c,*c]\n";
        for (String text : List.of(
                "bins: 1\nbins: 2\n",
                "bins: !!javax.script.ScriptEngineManager [x]",
                bomb,
                "bins: " + "[".repeat(500),
                "bins: 3\n---\nbins: 4\n",
                "",
                "\u0000"))
            assertThatThrownBy(() -> Yaml.PLAIN.parse(text, "f.yaml", Part.class))
                    .as(text)
                    .isInstanceOf(InputException.class)
                    .hasMessageStartingWith("f.yaml");
    }

    @Test
    void singleValuesAreOverridden() throws InputException {
        Part part = new Part(3, Optional.empty());
        assertThat(Yaml.PLAIN.override(part, List.of("bins=8", "width=2.5"), Part.class))
                .isEqualTo(new Part(8, Optional.of(2.5)));
        assertThatThrownBy(() -> Yaml.PLAIN.override(part, List.of("bin=8"), Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("unknown key 'bin'");
        assertThatThrownBy(() -> Yaml.PLAIN.override(part, List.of("bins"), Part.class))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("expected key=value");
    }
}
