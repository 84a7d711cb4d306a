// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.BlockingQueue;
import java.util.concurrent.CompletableFuture;
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
    private static final CompletableFuture<?> DONE = CompletableFuture.completedFuture(true);
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
        CaseAutosave autosave = new CaseAutosave(file, EMPTY, DONE, told::add);
        autosave.changed(with("a"));
        autosave.changed(with("b"));
        while (!Files.exists(file)) Thread.sleep(5);
        assertThat(CaseFile.read(file)).isEqualTo(with("b"));
        autosave.end().join();
    }

    @Test
    void closingWritesWhatIsNotYetWritten() throws Exception {
        CaseAutosave autosave = new CaseAutosave(file, EMPTY, DONE, told::add);
        autosave.changed(with("a"));
        assertThat(autosave.end().join().saved()).isTrue();
        autosave.changed(with("too late"));
        assertThat(CaseFile.read(file)).isEqualTo(with("a"));
        assertThat(told).isEmpty();
    }

    @Test
    void whatCannotBeWrittenIsToldOnceAndWrittenWhenItCanBe() throws Exception {
        Path inTheWay = folder.resolve("in-the-way");
        Files.writeString(inTheWay, "a file where a folder should be");
        Path below = inTheWay.resolve("case.yaml");
        CaseAutosave autosave = new CaseAutosave(below, EMPTY, DONE, this::listen);
        autosave.changed(with("a"));
        assertThat(autosave.flush().join().saved()).isFalse();
        assertThat(autosave.flush().join().saved()).isFalse();
        Told trouble = told.poll(30, TimeUnit.SECONDS);
        assertThat(trouble.messages()).hasSize(1);
        assertThat(trouble.messages().get(0)).contains("not saved").contains("nothing is lost");
        Files.delete(inTheWay);
        assertThat(autosave.flush().join().saved()).isTrue();
        assertThat(told.poll(30, TimeUnit.SECONDS)).isEqualTo(new Told(true, List.of()));
        autosave.end().join();
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

    // A file system of 64 KiB, seen by the child process alone. Oracle: the file as it was, byte for byte.
    @Test
    void onAFileSystemThatIsFullTheLastGoodFileStays() throws Exception {
        assumeTrue(canMount(), "skipped: needs unshare, and leave to mount in a space of one's own");
        Path small = Files.createDirectory(folder.resolve("small"));
        Path said = folder.resolve("said.txt");
        Path left = folder.resolve("left.txt");
        String good = "case: site-a-0007\nlesion: L1 # mine\n";
        Files.writeString(folder.resolve("good.yaml"), good);
        Process run = inItsOwnSpace(
                "mount -t tmpfs -o size=64k none \"$1\"; cp \"$2\" \"$1/case.yaml\"; set +e; \"$4\" -XX:-UsePerfData"
                        + " -Djava.awt.headless=true -cp \"$5\" \"$6\" \"$1/case.yaml\"; code=$?;"
                        + " (cat \"$1/case.yaml\"; ls -A \"$1\") >\"$3\"; exit $code",
                said,
                small,
                folder.resolve("good.yaml"),
                left,
                ProcessHandle.current().info().command().orElse("java"),
                System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                OnAFullDisk.class.getName());
        assertThat(run.waitFor()).as(Files.readString(said)).isEqualTo(1);
        assertThat(Files.readString(said)).startsWith("the case is not saved: cannot read or write");
        assertThat(left).hasContent(good + "case.yaml\n");
    }

    private boolean canMount() throws Exception {
        if (!Files.isExecutable(Path.of("/usr/bin/unshare")) || !Files.isExecutable(Path.of("/bin/bash"))) return false;
        return inItsOwnSpace("mount -t tmpfs none \"$1\"", folder.resolve("try.txt"), folder)
                        .waitFor()
                == 0;
    }

    private static Process inItsOwnSpace(String script, Path said, Object... arguments) throws IOException {
        List<String> command = new ArrayList<>(List.of("unshare", "-rm", "/bin/bash", "-ec", script, "-"));
        for (Object argument : arguments) command.add(argument.toString());
        return new ProcessBuilder(command)
                .redirectErrorStream(true)
                .redirectOutput(said.toFile())
                .start();
    }

    @Test
    void theSavingOfAnotherCaseIntoTheSameFileEndsFirst() throws Exception {
        CompletableFuture<Boolean> before = new CompletableFuture<>();
        CaseAutosave autosave = new CaseAutosave(file, EMPTY, before, told::add);
        autosave.changed(with("new"));
        CompletableFuture<Told> last = autosave.end();
        assertThat(last.isDone()).isFalse();
        before.complete(true);
        assertThat(last.join().saved()).isTrue();
        assertThat(CaseFile.read(file)).isEqualTo(with("new"));
    }

    /** Saves a case with a long comment; ends with 1 if that is not possible. */
    static final class OnAFullDisk {
        public static void main(String[] arguments) throws Exception {
            Path file = Path.of(arguments[0]);
            CaseAutosave autosave = new CaseAutosave(file, CaseFile.read(file), DONE, told -> {});
            autosave.changed(with("long ".repeat(20_000)));
            Told told = autosave.flush().join();
            System.out.println(String.join("\n", told.messages()));
            System.exit(told.saved() ? 0 : 1);
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
