// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.LinkedBlockingQueue;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import javax.swing.SwingUtilities;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.Timeout;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.desk.CaseAutosave.Told;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.CaseFile.Impression;

// The time limit only keeps a hanging test from hanging the build.
@Timeout(60)
class CaseAutosaveTest {
    private static final CaseFile EMPTY = CaseFile.named("site-a-0007");

    @TempDir
    Path folder;

    private Path file;
    private final BlockingQueue<Told> told = new LinkedBlockingQueue<>();
    private final BlockingQueue<Boolean> onEventThread = new LinkedBlockingQueue<>();

    @BeforeEach
    void name() {
        file = folder.resolve("case.yaml");
    }

    @Test
    void aChangeIsOnTheDiskWithoutBeingAskedFor() throws Exception {
        try (CaseAutosave autosave = new CaseAutosave(file, EMPTY, told::add)) {
            autosave.changed(with("a"));
            autosave.changed(with("b"));
            while (!Files.exists(file)) Thread.sleep(5);
            assertThat(CaseFile.read(file)).isEqualTo(with("b"));
        }
    }

    @Test
    void closingWritesWhatIsNotYetWritten() throws Exception {
        CaseAutosave autosave = new CaseAutosave(file, EMPTY, told::add);
        autosave.changed(with("a"));
        autosave.close();
        autosave.close();
        autosave.changed(with("too late"));
        assertThat(CaseFile.read(file)).isEqualTo(with("a"));
        assertThat(told).isEmpty();
    }

    @Test
    void whatCannotBeWrittenIsToldOnceAndWrittenWhenItCanBe() throws Exception {
        Path inTheWay = folder.resolve("in-the-way");
        Files.writeString(inTheWay, "a file where a folder should be");
        Path below = inTheWay.resolve("case.yaml");
        try (CaseAutosave autosave = new CaseAutosave(below, EMPTY, this::listen)) {
            autosave.changed(with("a"));
            assertThat(autosave.flush().saved()).isFalse();
            assertThat(autosave.flush().saved()).isFalse();
            Told trouble = told.poll(30, TimeUnit.SECONDS);
            assertThat(trouble.messages()).hasSize(1);
            assertThat(trouble.messages().get(0)).contains("not saved").contains("nothing is lost");
            Files.delete(inTheWay);
            assertThat(autosave.flush().saved()).isTrue();
            assertThat(told.poll(30, TimeUnit.SECONDS)).isEqualTo(new Told(true, List.of()));
        }
        assertThat(told).isEmpty();
        assertThat(onEventThread).containsOnly(true);
        assertThat(CaseFile.read(below)).isEqualTo(with("a"));
    }

    // The limit on a file's size makes writing fail midway, as a full disk does. Oracle: the file as it was, byte for
    // byte.
    @Test
    void onAFullDiskTheLastGoodFileStaysAndTheReaderIsTold() throws Exception {
        assumeTrue(Files.isExecutable(Path.of("/bin/bash")), "skipped: needs bash to limit the size of files");
        String good = "case: site-a-0007\nlesion: L1 # mine\n";
        Files.writeString(file, good);
        Path said = folder.resolve("said.txt");
        Process run = new ProcessBuilder(
                        "/bin/bash",
                        "-c",
                        "ulimit -f 8; exec \"$@\"",
                        "-",
                        ProcessHandle.current().info().command().orElse("java"),
                        "-XX:-UsePerfData",
                        "-Djava.awt.headless=true",
                        "-cp",
                        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                        OnAFullDisk.class.getName(),
                        file.toString())
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
        assertThat(run.waitFor()).as(Files.readString(said)).isEqualTo(1);
        assertThat(Files.readString(said)).startsWith("the case is not saved: cannot read or write");
        assertThat(file).hasContent(good);
        try (Stream<Path> all = Files.list(folder)) {
            assertThat(all).containsExactlyInAnyOrder(file, said);
        }
    }

    /** Saves a case with a long comment; ends with 1 if that is not possible. */
    static final class OnAFullDisk {
        public static void main(String[] arguments) throws Exception {
            Path file = Path.of(arguments[0]);
            try (CaseAutosave autosave = new CaseAutosave(file, CaseFile.read(file), told -> {})) {
                autosave.changed(with("long ".repeat(20_000)));
                Told told = autosave.flush();
                System.out.println(String.join("\n", told.messages()));
                System.exit(told.saved() ? 0 : 1);
            }
        }
    }

    private void listen(Told one) {
        onEventThread.add(SwingUtilities.isEventDispatchThread());
        told.add(one);
    }

    private static CaseFile with(String comment) {
        Optional<String> none = Optional.empty();
        return EMPTY.locking(new Impression(
                none,
                none,
                none,
                none,
                none,
                none,
                none,
                Optional.of(2),
                Optional.of(comment),
                Optional.of(LocalDateTime.of(2026, 3, 2, 10, 20).toString())));
    }
}
