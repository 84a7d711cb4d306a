// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.appraise.Lexicon.Band;
import org.leiogauge.appraise.Lexicon.Counterpart;
import org.leiogauge.task.InputException;

class LexiconTest {
    static final Lexicon LEXICON = Lexicon.shipped(CriteriaCardsTest.KNOWN);

    @TempDir
    Path folder;

    // Oracle: the data file; the page must be made anew when it changes.
    @Test
    void thePageSaysWhatTheDataFileSays() throws IOException {
        String page = LexiconDocument.of(LEXICON);
        Files.createDirectories(Path.of("target"));
        Files.writeString(Path.of("target/lexicon.md"), page);
        assertThat(Files.readString(Path.of("docs/lexicon.md")))
                .as("docs/lexicon.md is stale: copy target/lexicon.md over it")
                .isEqualTo(page);
    }

    @Test
    void everySignHasTermsACounterpartAndEveryCutOffASource() {
        assertThat(LEXICON.signs()).hasSize(7).allSatisfy(sign -> {
            assertThat(sign.terms()).hasSizeGreaterThan(1).allSatisfy(t -> assertThat(t.means())
                    .isNotBlank());
            assertThat(sign.allowed()).doesNotHaveDuplicates();
            assertThat(sign.counterparts()).isNotEmpty().allSatisfy(c -> assertThat(c.source())
                    .isNotBlank());
        });
    }

    @Test
    void termsOfTheLexiconAreRead() throws IOException, InputException {
        Path file = write("""
                case: a
                lesion: L1
                impression: {border: ill-defined, t1-bright-signal: rim, diffusion: shine-through, concern: 4}
                """);
        assertThat(LEXICON.read(file).impression().get(0).diffusion()).contains("shine-through");
    }

    @Test
    void anUnknownTermIsNamedWithKeyAndLine() throws IOException {
        Path single = write("case: a\nlesion: L1\nimpression:\n  border: well-defined\n  t2-signal: bright\n");
        assertThatThrownBy(() -> LEXICON.read(single))
                .isInstanceOf(InputException.class)
                .hasMessageEndingWith("case.yaml: line 5, key impression.t2-signal: found bright, expected one of low, "
                        + "intermediate, high");
        Path list = write("""
                case: a
                lesion: L1
                impression:
                  - {border: well-defined, locked: 2026-03-02T10:20:00}
                  - border: blurred
                    locked: 2026-03-02T10:21:00
                """);
        assertThatThrownBy(() -> LEXICON.read(list))
                .hasMessageContaining("line 5, key impression.1.border: found blurred, expected one of well-defined");
    }

    // Oracle: by hand; a cut-off belongs to the upper side.
    @Test
    void bandsHoldTheirLowerEnd() {
        Counterpart signal = new Counterpart(
                "t2 signal ratio to myometrium",
                Optional.empty(),
                Optional.empty(),
                List.of(
                        new Band(Optional.of(0.8), List.of("low")),
                        new Band(Optional.of(1.5), List.of("intermediate")),
                        new Band(Optional.empty(), List.of("high"))),
                "by hand");
        assertThat(signal.band(0.79).terms()).containsExactly("low");
        assertThat(signal.band(0.8).terms()).containsExactly("intermediate");
        assertThat(signal.band(-1e300).terms()).containsExactly("low");
        assertThat(signal.band(1e300).terms()).containsExactly("high");
        assertThat(signal.bands(0.7, 1.5)).hasSize(3);
        assertThat(signal.bands(0.8, 1.4)).hasSize(1);
        assertThatThrownBy(() -> new Counterpart(
                        "x",
                        Optional.empty(),
                        Optional.empty(),
                        List.of(
                                new Band(Optional.of(2.0), List.of("a")),
                                new Band(Optional.of(1.0), List.of("b")),
                                new Band(Optional.empty(), List.of("c"))),
                        ""))
                .hasMessageContaining("must ascend");
    }

    private Path write(String text) throws IOException {
        return Files.writeString(folder.resolve("case.yaml"), text);
    }
}
