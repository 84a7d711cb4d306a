// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import static org.assertj.core.api.Assertions.assertThat;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.dicom.DicomReader;
import org.leiogauge.dicom.Tag;
import org.leiogauge.dicom.Uid;
import org.leiogauge.study.Study;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** The command {@code pseudonymise}: what it says, refuses, and that the copy measures as the study does. */
class PseudonymiseCommandTest {
    private static final Path DEMO = Path.of("test-images/demo");
    private static final Path STUDY = DEMO.resolve("dicom");
    private static final Path OUTLINE = DEMO.resolve("outline-true.dcm");

    @TempDir
    Path folder;

    // Oracle: the study itself: same roles for the same reasons, same values, whatever the names and UIDs.
    @Test
    void theCopyMeasuresAsTheStudy() throws Exception {
        Path copy = folder.resolve("copy");
        assertThat(run("pseudonymise", STUDY.toString(), OUTLINE.toString(), "--out", copy.toString())
                        .exit())
                .isZero();
        assertThat(roles(copy)).isEqualTo(roles(STUDY));
        assertThat(values(copy, outlineIn(copy), "of-copy")).isEqualTo(values(STUDY, OUTLINE, "of-study"));
    }

    @Test
    void theHelpsExampleSaysWhatItCopied() {
        Run run = run(
                "pseudonymise",
                STUDY.resolve("1-inv-t2-tse-tra-obl").toString(),
                OUTLINE.toString(),
                "--out",
                folder.resolve("copy").toString());
        assertThat(run.err()).isEmpty();
        assertThat(run.exit()).isZero();
    }

    @Test
    void whatWouldMixCopyAndStudyIsRefused() throws IOException {
        Path full = Files.createDirectory(folder.resolve("full"));
        Files.writeString(full.resolve("notes.txt"), "here first");
        assertRefused("a folder with files, expected a new or an empty folder", STUDY, full);
        assertRefused("a file, expected a new folder", STUDY, full.resolve("notes.txt"));
        assertRefused("expected a folder outside the study", full, full.resolve("copy"));
        Path link = Files.createSymbolicLink(folder.resolve("link"), full);
        assertRefused("expected a folder outside the study", full, link.resolve("copy"));
        assertRefused("no file to copy among 1", full, folder.resolve("copy"));
        assertRefused("nowhere", folder.resolve("nowhere"), folder.resolve("copy"));
        assertThat(folder.resolve("copy")).doesNotExist();
    }

    @Test
    void aKeyThatIsShortOrMissingIsRefused() throws IOException {
        Path key = Files.writeString(folder.resolve("key"), "short");
        assertRefused("key must have 16 bytes or more, got 5", STUDY, folder.resolve("copy"), "--key", key.toString());
        assertRefused(
                "no such file",
                STUDY,
                folder.resolve("copy"),
                "--key",
                folder.resolve("none").toString());
    }

    private static List<String> roles(Path study) throws Exception {
        return Study.open(study, Workers.SINGLE, Progress.NONE).series().stream()
                .map(s -> s.role() + " " + s.images() + " " + s.reason())
                .toList();
    }

    private List<String> values(Path study, Path outline, String name) throws IOException {
        Path out = folder.resolve(name);
        List<String> arguments = new ArrayList<>(List.of(
                "measure",
                study.toString(),
                "--outline",
                outline.toString(),
                "--roi",
                "L1",
                "--case",
                DEMO.resolve("case.yaml").toString(),
                "--out",
                out.toString()));
        for (String setting : List.of("stability.draws=0", "features.families=[intensity]"))
            arguments.addAll(List.of("--set", setting));
        assertThat(run(arguments.toArray(String[]::new)).exit()).isZero();
        return Files.readAllLines(out.resolve("features.csv"));
    }

    private static Path outlineIn(Path copy) throws Exception {
        try (Stream<Path> files = Files.walk(copy)) {
            for (Path file : files.filter(Files::isRegularFile).toList())
                if (DicomReader.read(file).text(Tag.SOP_CLASS_UID).orElse("").equals(Uid.RT_STRUCTURE_SET)) return file;
        }
        throw new IllegalStateException("no structure set in " + copy);
    }

    private void assertRefused(String message, Path study, Path out, String... more) {
        List<String> arguments = new ArrayList<>(List.of("pseudonymise", study.toString(), "--out", out.toString()));
        arguments.addAll(List.of(more));
        Run run = run(arguments.toArray(String[]::new));
        assertThat(run.err()).contains(message).doesNotContain("\tat ");
        assertThat(run.err().strip().lines()).hasSize(1);
        assertThat(run.exit()).isEqualTo(2);
    }

    private record Run(int exit, String err) {}

    private static Run run(String... arguments) {
        StringWriter err = new StringWriter();
        int exit = Main.commandLine().setErr(new PrintWriter(err)).execute(arguments);
        return new Run(exit, err.toString());
    }
}
