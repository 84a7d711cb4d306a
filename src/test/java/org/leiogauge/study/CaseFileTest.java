// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.image.Point;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Yaml;

class CaseFileTest {
    // The example of the case file contract, written out in full.
    private static final String FULL = """
            case: site-a-0007            # pseudonym
            lesion: L1
            outline: {reader: reader-1, drawn: 2026-03-02T10:15:00}
            series: {t2: 1.2.3, t1-fat-sat: 1.2.4}
            references:
              muscle: {points: [{at: [57.0, 40.0, 5.0], radius: 7.0}]}
              myometrium: {mask: myometrium.nii.gz}
            clinical: {age-band: 45-49, menopausal-status: premenopausal, ldh: {value: 190, unit: U/L, upper-limit: 250}}
            impression: {border: well-defined, t2-signal: low, concern: 3, locked: 2026-03-02T10:20:00}
            outcome: {histology: leiomyoma}
            """;

    @TempDir
    Path folder;

    @Test
    void theWholeExampleIsRead() throws IOException, InputException {
        CaseFile file = read(FULL);
        assertThat(file.caseName()).isEqualTo("site-a-0007");
        assertThat(file.series()).containsEntry(Role.T2, "1.2.3").containsEntry(Role.T1_FAT_SAT, "1.2.4");
        assertThat(file.references().get(Tissue.MUSCLE).points().get(0).centre())
                .isEqualTo(new Point(57, 40, 5));
        assertThat(file.references().get(Tissue.MYOMETRIUM).mask()).contains("myometrium.nii.gz");
        assertThat(file.clinical().orElseThrow().ldh().orElseThrow().upperLimit())
                .contains(250.0);
        assertThat(file.impression().get(0).t2Signal()).contains("low");
        assertThat(file.outcome().orElseThrow().histology()).contains("leiomyoma");
        assertThat(read(Yaml.PLAIN.text(file))).isEqualTo(file);
    }

    @Test
    void allButCaseAndLesionMayBeAbsent() throws IOException, InputException {
        assertThat(read("case: a\nlesion: L1\noutcome:\n")).isEqualTo(CaseFile.named("a"));
    }

    @Test
    void whatIsWrongIsNamedWithKeyAndLine() {
        assertWrong("case: a\nlesion: L1\nserise: {t2: x}\n", "line 3, key serise");
        assertWrong("case: a\nlesion: L1\nseries: {t3: x}\n", "line 3, key series");
        assertWrong("case: a\nlesion: L1\nimpression: {concern: 6}\n", "concern must be 1 to 5, got 6");
        assertWrong("case: a\nlesion: L1\noutline: {drawn: yesterday}\n", "must be a local date and time");
        assertWrong(
                "case: a\nlesion: L1\nreferences:\n  muscle: {points: [{at: [1, 2], radius: 7}]}\n", "three numbers");
        assertWrong("case: a\nlesion: L1\nreferences: {urine: {}}\n", "either points or a mask");
        assertWrong("lesion: L1\n", "case must be given");
    }

    private void assertWrong(String text, String message) {
        assertThatThrownBy(() -> read(text))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("case.yaml")
                .hasMessageContaining(message);
    }

    private CaseFile read(String text) throws IOException, InputException {
        return CaseFile.read(Files.writeString(folder.resolve("case.yaml"), text));
    }

    // Oracle: the rule itself, that the first impression is blind and nothing is written over; times by hand.
    @Test
    void impressionsAreOnlyAddedAndTheFirstIsBlind() throws IOException, InputException {
        String start = "case: a\nlesion: L1\n";
        String first = "  - {concern: 2, locked: 2026-03-02T10:20:00}\n";
        String second = "  - {concern: 4, locked: 2026-03-02T10:40:00}\n";
        CaseFile both = read(start + "numbers-shown: 2026-03-02T10:30:00\nimpression:\n" + first + second);
        assertThat(both.impression()).extracting(i -> i.concern().orElseThrow()).containsExactly(2, 4);

        CaseFile blind = read(start + "impression:\n" + first);
        assertThat(blind.showing(LocalDateTime.parse("2026-03-02T10:30:00"))
                        .showing(LocalDateTime.parse("2026-03-02T11:30:00"))
                        .locking(both.impression().get(1)))
                .isEqualTo(read(start + "numbers-shown: 2026-03-02T10:30\nimpression:\n" + first + second));
        CaseFile seen = CaseFile.named("a").showing(LocalDateTime.parse("2026-03-02T10:30:00"));
        assertThatThrownBy(() -> seen.locking(both.impression().get(1)))
                .hasMessage("the first impression was entered at 2026-03-02T10:40:00, but the numbers were shown at "
                        + "2026-03-02T10:30: it is not blind");
    }

    @Test
    void impressionsOutOfOrderAreRefused() {
        String start = "case: a\nlesion: L1\n";
        assertWrong(
                start + "numbers-shown: 2026-03-02T10:00:00\nimpression: {locked: 2026-03-02T10:20:00}\n",
                "entered at 2026-03-02T10:20:00, but the numbers were shown at 2026-03-02T10:00:00: it is not blind");
        assertWrong(
                start + "numbers-shown: 2026-03-02T10:00:00\nimpression: {concern: 1}\n",
                "the first impression was not locked");
        assertWrong(
                start + "impression: [{locked: 2026-03-02T10:20:00}, {locked: 2026-03-02T10:20:00}]\n",
                "not after the one before");
        assertWrong(start + "impression: [{concern: 1}, {concern: 2}]\n", "impression 1 of 2 has no time");
    }

    @Test
    void aFirstImpressionMayStandUnlockedUntilOneIsLocked() throws Exception {
        Optional<String> none = Optional.empty();
        CaseFile.Impression words =
                new CaseFile.Impression(none, none, none, none, none, none, none, Optional.of(2), none, none);
        CaseFile.Impression locked = new CaseFile.Impression(
                none, none, none, none, none, none, none, Optional.of(3), none, Optional.of("2026-03-02T10:15:00"));
        CaseFile draft = CaseFile.named("a").drafting(words);
        assertThat(draft.draft()).contains(words);
        assertThat(draft.drafting(words).impression()).containsExactly(words);
        assertThat(draft.withoutDraft()).isEqualTo(CaseFile.named("a"));
        assertThat(draft.locking(locked).impression()).containsExactly(locked);
        assertThat(draft.locking(locked).draft()).isEmpty();
        assertThatThrownBy(() -> draft.locking(locked).drafting(words)).isInstanceOf(IllegalArgumentException.class);
        assertThatThrownBy(() -> draft.drafting(locked)).isInstanceOf(IllegalArgumentException.class);
    }
}
