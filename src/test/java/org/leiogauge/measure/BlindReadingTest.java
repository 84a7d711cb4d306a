// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.LocalDateTime;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;

// Oracle: the rule itself, impression, lock, numbers; what the file must say then is written out by hand.
class BlindReadingTest {
    private static final LocalDateTime BEGIN = LocalDateTime.parse("2026-03-02T10:20:00.123456789");
    private static final LocalDateTime END = LocalDateTime.parse("2026-03-02T10:21:30.5");
    private static final String LOCKED = "locked: 2026-03-02T10:20:00.123";
    private static final String SHOWN = "numbers-shown: 2026-03-02T10:21:30.500\n";

    @TempDir
    Path folder;

    @Test
    void anImpressionIsLockedBeforeAndTheShowingNotedAfter() throws Exception {
        assertRead(
                "# mine\ncase: a # pseudonym\nlesion: L1\nimpression: {border: lobulated, concern: 2}\n",
                "# mine\n" + SHOWN + "case: a # pseudonym\nlesion: L1\nimpression: {" + LOCKED
                        + ", border: lobulated, concern: 2}\n");
        assertRead(
                "case: a\nlesion: L1\nimpression:\n  border: lobulated\n  # sure\n  concern: 2\n",
                SHOWN + "case: a\nlesion: L1\nimpression:\n  " + LOCKED
                        + "\n  border: lobulated\n  # sure\n  concern: 2\n");
        assertRead(
                "case: a\nlesion: L1\nimpression:\n  - concern: 2\n    border: lobulated\n",
                SHOWN + "case: a\nlesion: L1\nimpression:\n  - " + LOCKED
                        + "\n    concern: 2\n    border: lobulated\n");
        assertRead(
                "{case: \"\uD83E\uDE7B\", lesion: L1, impression: [{}]}",
                "{" + SHOWN.strip() + ", case: \"\uD83E\uDE7B\", lesion: L1, impression: [{" + LOCKED + "}]}");
        assertRead("case: a\r\nlesion: L1\r\n", SHOWN + "case: a\r\nlesion: L1\r\n");
    }

    @Test
    void whatIsLockedAndShownStaysAsItIs() throws Exception {
        String first = "case: a\nlesion: L1\nnumbers-shown: 2026-03-01T10:00:00\n"
                + "impression:\n  - {concern: 2, locked: 2026-03-01T09:00:00}\n";
        assertRead(first, first);
        String second = first + "  - {concern: 4, locked: 2026-03-02T10:00:00}\n";
        assertRead(second, second);
    }

    @Test
    void theFirstImpressionAfterTheNumbersIsRefused() throws Exception {
        Path file = write("case: a\nlesion: L1\n");
        BlindReading.begin(Optional.of(file), BEGIN).numbersShown(END);
        String noted = Files.readString(file);
        for (String late : new String[] {"{concern: 2, locked: 2026-03-02T10:30:00}", "{concern: 2}"})
            assertThatThrownBy(() -> BlindReading.begin(
                            Optional.of(write(noted + "impression: " + late + "\n")), END.plusHours(1)))
                    .isInstanceOf(InputException.class)
                    .hasMessageContaining("case.yaml")
                    .hasMessageContaining("the numbers were shown at 2026-03-02T10:21:30.500: it is not blind");
    }

    @Test
    void aTimeThatHasNotComeIsRefused() {
        assertThatThrownBy(() -> BlindReading.begin(
                        Optional.of(write("case: a\nlesion: L1\nimpression: {locked: 2036-03-02T10:20:00}\n")), BEGIN))
                .isInstanceOf(InputException.class)
                .hasMessageEndingWith(
                        "case.yaml: impression: found locked 2036-03-02T10:20:00, expected a time that is not"
                                + " later than now, 2026-03-02T10:20:00");
    }

    @Test
    void aSecondEntryNeedsATimeAndTheFirstKeepsItsOwn() {
        assertThatThrownBy(() -> BlindReading.begin(
                        Optional.of(write("case: a\nlesion: L1\nnumbers-shown: 2026-03-01T10:00:00\n"
                                + "impression:\n  - {concern: 2, locked: 2026-03-01T09:00:00}\n  - {concern: 4}\n")),
                        BEGIN))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("impression 2 of 2 has no time at which it was locked");
    }

    @Test
    void aTermThatTheLexiconLacksIsNotLocked() throws IOException {
        String text = "case: a\nlesion: L1\nimpression: {border: blurry}\n";
        Path file = write(text);
        assertThatThrownBy(() -> BlindReading.begin(Optional.of(file), BEGIN))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("found blurry");
        assertThat(file).hasContent(text);
    }

    @Test
    void aFileThatCannotBeChangedIsLeftAsItIsAndSaid() throws Exception {
        // an anchor stands where the key would go
        String text = "&case\ncase: a\nlesion: L1\n";
        Path file = write(text);
        assertThat(BlindReading.begin(Optional.of(file), BEGIN).numbersShown(END))
                .contains(file + " could not be changed; it does not say that the numbers were shown."
                        + " Add numbers-shown: 2026-03-02T10:21:30");
        assertThat(file).hasContent(text);
        assertThatThrownBy(() ->
                        BlindReading.begin(Optional.of(write("case: a\nlesion: L1\nimpression: &one {}\n")), BEGIN))
                .isInstanceOf(InputException.class)
                .hasMessageContaining(
                        "impression: found no time at which it was locked, in a file that could not be changed,"
                                + " expected locked: 2026-03-02T10:20:00");
    }

    @Test
    void whoCouldReadTheFileStillCanAndALinkStaysOne() throws Exception {
        Path file = write("case: a\nlesion: L1\n");
        Files.setPosixFilePermissions(file, PosixFilePermissions.fromString("rw-r--r--"));
        Path link = Files.createSymbolicLink(folder.resolve("link.yaml"), file);
        BlindReading.begin(Optional.of(link), BEGIN).numbersShown(END);
        assertThat(link).isSymbolicLink();
        assertThat(file).content().startsWith(SHOWN);
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(file)))
                .isEqualTo("rw-r--r--");
    }

    @Test
    void withoutACaseFileThereIsNothingToHold() throws Exception {
        assertThat(BlindReading.begin(Optional.empty(), BEGIN).numbersShown(END))
                .isEmpty();
    }

    private void assertRead(String before, String after) throws InputException, IOException {
        Path file = write(before);
        assertThat(BlindReading.begin(Optional.of(file), BEGIN).numbersShown(END))
                .isEmpty();
        assertThat(Files.readString(file)).isEqualTo(after);
        assertThat(BlindReading.begin(Optional.of(file), END).numbersShown(END.plusHours(1)))
                .isEmpty();
        assertThat(Files.readString(file)).isEqualTo(after);
    }

    private Path write(String text) throws IOException {
        return Files.writeString(folder.resolve("case.yaml"), text);
    }
}
