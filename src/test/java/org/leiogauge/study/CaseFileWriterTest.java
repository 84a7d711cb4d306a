// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.FileSystems;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.study.CaseFile.Ball;
import org.leiogauge.study.CaseFile.Impression;
import org.leiogauge.study.CaseFile.Reference;
import org.leiogauge.task.InputException;

class CaseFileWriterTest {
    private static final String BY_HAND = """
            # kept by Dr A, do not tidy
            case:   site-a-0007            # pseudonym
            lesion: L1

            # placed twice, the second one counts
            references:
              muscle:   {points: [{at: [57.0, 40.0, 5.0], radius: 7.0}]}   # left side
              # the right one moved
            clinical: {age-band: 45-49,   ldh: {value: 190, unit: U/L}}
            # end
            """;

    @TempDir
    Path folder;

    private Path file;

    @BeforeEach
    void name() {
        file = folder.resolve("case.yaml");
    }

    // Oracle: the text by hand, with the one key added.
    @Test
    void aLockedImpressionIsAddedAndAllElseStaysAsItWasWritten() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFile after = before.locking(impression("well-defined", "2026-03-02T10:20:00"));
        assertThat(new CaseFileWriter(file, before).save(after)).isEmpty();
        assertThat(Files.readString(file)).isEqualTo(BY_HAND + """
                impression:
                - border: well-defined
                  locked: 2026-03-02T10:20:00
                """);
        assertThat(CaseFile.read(file)).isEqualTo(after);
    }

    @Test
    void ofAKeyThatChangesTheCommentsStay() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFile after = with(before, Map.of(Tissue.URINE, ball(1, 2, 3)));
        new CaseFileWriter(file, before).save(after);
        assertThat(CaseFile.read(file)).isEqualTo(after);
        assertThat(Files.readString(file))
                .startsWith("# kept by Dr A, do not tidy\ncase:   site-a-0007            # pseudonym\n")
                .contains("# placed twice, the second one counts", "# left side", "# the right one moved", "# end")
                .contains("clinical: {age-band: 45-49,   ldh:")
                .doesNotContain("muscle");
    }

    @Test
    void aNewFileHoldsTheCaseAndNoEmptyKeys() throws Exception {
        CaseFile named = CaseFile.named("site-a-0007");
        new CaseFileWriter(file, named).save(named);
        assertThat(Files.readString(file)).isEqualTo("case: site-a-0007\nlesion: L1\n");
    }

    // Oracle: what was saved, read back by the reader of case files; texts that YAML could take for something else.
    @Test
    void whateverIsSavedIsReadBack() throws Exception {
        List<String> odd = List.of(
                "no",
                "- a",
                "a: b",
                "# c",
                "1e3",
                "~",
                "{",
                "[x",
                "'",
                "\"",
                "*a",
                "&a",
                "!t",
                "%",
                "@",
                "`",
                "|",
                " spaces ",
                "two\nlines\n\n  three",
                "\ttab",
                "\u0007bell",
                "ü→漢🙂",
                "null",
                "2026-03-02",
                "0x1F",
                "a #b",
                "x".repeat(500) + " " + "y z ".repeat(200),
                "---",
                "...",
                "<html>");
        SplittableRandom random = new SplittableRandom(5);
        CaseFile last = CaseFile.named("a");
        CaseFileWriter writer = new CaseFileWriter(file, last);
        LocalDateTime time = LocalDateTime.of(2026, 3, 2, 10, 0);
        for (int i = 0; i < 45; i++) {
            String text = odd.get(i % odd.size()) + (i < odd.size() ? "" : odd.get(random.nextInt(odd.size())));
            Impression said = comment(text, time.plusMinutes(i).toString());
            last = i % 3 == 0 ? last.locking(said) : with(last, Map.of(Tissue.MUSCLE, ball(i, -i / 3.0, 1e-7 * i)));
            assertThat(writer.save(last)).isEmpty();
            assertThat(CaseFile.read(file)).isEqualTo(last);
        }
    }

    @Test
    void whatSomebodyElseWroteUnderOtherKeysMeanwhileStays() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFileWriter writer = new CaseFileWriter(file, before);
        Files.writeString(file, BY_HAND + "outcome: {histology: leiomyoma}   # by the pathologist\n");
        CaseFile after = before.locking(impression("lobulated", "2026-03-02T10:20:00"));
        assertThat(writer.save(after)).isEmpty();
        CaseFile there = CaseFile.read(file);
        assertThat(there.outcome().orElseThrow().histology()).contains("leiomyoma");
        assertThat(there.impression()).isEqualTo(after.impression());
        // and it stays so at the next saving, by a case that does not know of it
        writer.save(with(after, Map.of(Tissue.URINE, ball(1, 2, 3))));
        assertThat(CaseFile.read(file).outcome()).isPresent();
        assertThat(Files.readString(file)).contains("# by the pathologist");
    }

    @Test
    void whenBothChangedAKeyTheOthersTextIsKeptBeside() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFileWriter writer = new CaseFileWriter(file, before);
        String theirs = BY_HAND.replace("57.0", "58.0");
        Files.writeString(file, theirs);
        List<String> notes = writer.save(with(before, Map.of(Tissue.MUSCLE, ball(1, 2, 3))));
        assertThat(notes).hasSize(1);
        assertThat(notes.get(0)).contains("references").contains("case.kept-1.yaml");
        assertThat(folder.resolve("case.kept-1.yaml")).hasContent(theirs);
        assertThat(CaseFile.read(file).references().get(Tissue.MUSCLE)).isEqualTo(ball(1, 2, 3));
    }

    @Test
    void anImpressionThatSomebodyElseLockedIsNeverOverwritten() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFileWriter writer = new CaseFileWriter(file, before);
        String theirs = BY_HAND + "impression: {border: irregular, locked: 2026-03-02T10:00:00}\n";
        Files.writeString(file, theirs);
        CaseFile ours = before.locking(impression("lobulated", "2026-03-02T10:20:00"));
        assertThatThrownBy(() -> writer.save(ours))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("somebody else locked")
                .hasMessageContaining("case.kept-1.yaml");
        assertThat(file).hasContent(theirs);
        assertThat(CaseFile.read(folder.resolve("case.kept-1.yaml"))).isEqualTo(ours);
        // what is entered after that goes into the same file
        CaseFile more = ours.locking(impression("irregular", "2026-03-02T10:25:00"));
        assertThatThrownBy(() -> writer.save(more)).hasMessageContaining("case.kept-1.yaml");
        assertThat(CaseFile.read(folder.resolve("case.kept-1.yaml"))).isEqualTo(more);
        // numbers that were shown before that impression would make it not blind: refused as well
        CaseFile shown = before.showing(LocalDateTime.of(2026, 3, 2, 9, 0));
        assertThatThrownBy(() -> writer.save(shown)).isInstanceOf(InputException.class);
        assertThat(file).hasContent(theirs);
    }

    @Test
    void aFileThatWasBrokenOrRemovedOrIsAnotherCaseMeanwhileIsDealtWithCalmly() throws Exception {
        Files.writeString(file, BY_HAND);
        CaseFile before = CaseFile.read(file);
        CaseFileWriter writer = new CaseFileWriter(file, before);
        Files.writeString(file, "case: [\nnote: mine\n");
        CaseFile after = before.locking(impression("lobulated", "2026-03-02T10:20:00"));
        assertThat(writer.save(after)).hasSize(1);
        assertThat(folder.resolve("case.kept-1.yaml")).hasContent("case: [\nnote: mine\n");
        assertThat(CaseFile.read(file)).isEqualTo(after);
        assertThat(Files.readString(file)).contains("# kept by Dr A");
        Files.delete(file);
        assertThat(writer.save(after)).hasSize(1);
        assertThat(CaseFile.read(file)).isEqualTo(after);
        Files.writeString(file, "case: other\nlesion: L1\n");
        assertThatThrownBy(() -> writer.save(after.locking(impression("lobulated", "2026-03-02T10:30:00"))))
                .hasMessageContaining("case other")
                .hasMessageContaining("case.kept-2.yaml");
        assertThat(file).hasContent("case: other\nlesion: L1\n");
    }

    @Test
    void aLayoutInWhichNoKeyCanBeChangedIsKeptBesideAndWrittenAfresh() throws Exception {
        String odd = "{case: a, lesion: L1, outcome: {histology: leiomyoma}}\n";
        Files.writeString(file, odd);
        CaseFile before = CaseFile.read(file);
        CaseFile after = before.locking(impression("lobulated", "2026-03-02T10:20:00"));
        assertThat(new CaseFileWriter(file, before).save(after)).hasSize(1);
        assertThat(CaseFile.read(file)).isEqualTo(after);
        assertThat(folder.resolve("case.kept-1.yaml")).hasContent(odd);
    }

    @Test
    void aLinkStaysALinkAndWhoMayReadTheFileStaysSo() throws Exception {
        assumeTrue(
                FileSystems.getDefault().supportedFileAttributeViews().contains("posix"),
                "skipped: no POSIX permissions here");
        Path real = Files.writeString(folder.resolve("real.yaml"), BY_HAND);
        Files.setPosixFilePermissions(real, PosixFilePermissions.fromString("rw-r-----"));
        Files.createSymbolicLink(file, real);
        CaseFile before = CaseFile.read(file);
        new CaseFileWriter(file, before).save(with(before, Map.of(Tissue.URINE, ball(1, 2, 3))));
        assertThat(Files.isSymbolicLink(file)).isTrue();
        assertThat(PosixFilePermissions.toString(Files.getPosixFilePermissions(real)))
                .isEqualTo("rw-r-----");
        assertThat(CaseFile.read(real).references()).containsKey(Tissue.URINE);
        assertThat(parts()).isEmpty();
    }

    private List<Path> parts() throws IOException {
        try (Stream<Path> all = Files.list(folder)) {
            return all.filter(path -> path.toString().endsWith(".part")).toList();
        }
    }

    private static Reference ball(double x, double y, double z) {
        return new Reference(List.of(new Ball(List.of(x, y, z), 7)), Optional.empty());
    }

    private static CaseFile with(CaseFile file, Map<Tissue, Reference> references) {
        return new CaseFile(
                file.caseName(),
                file.lesion(),
                file.outline(),
                file.series(),
                references,
                file.clinical(),
                file.impression(),
                file.numbersShown(),
                file.outcome());
    }

    private static Impression impression(String border, String locked) {
        Optional<String> none = Optional.empty();
        return new Impression(
                Optional.of(border), none, none, none, none, none, none, Optional.empty(), none, Optional.of(locked));
    }

    private static Impression comment(String comment, String locked) {
        Optional<String> none = Optional.empty();
        return new Impression(
                none, none, none, none, none, none, none, Optional.of(4), Optional.of(comment), Optional.of(locked));
    }
}
