// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

/** Runs that are stopped from outside: another process, killed or refused the disk. */
class CohortStopTest {
    @TempDir
    Path folder;

    private Path manifest;

    @BeforeEach
    void studies() throws IOException {
        manifest = TinyCohort.write(folder, 4, true);
    }

    // Oracle: a run without a stop, by one thread, byte for byte.
    @Test
    void killedAndResumedTheFolderIsThatOfARunWithoutAStop() throws Exception {
        Path out = folder.resolve("killed");
        SplittableRandom random = new SplittableRandom(31);
        for (int kill = 1; kill <= 5; kill++) {
            Process run = start(List.of(), out, "--resume");
            int entries = 1 + kill;
            // until so much is there, and then some way into the next case
            while (run.isAlive() && entriesOf(out.resolve("cases")) < entries) Thread.sleep(5);
            Thread.sleep(random.nextInt(60));
            run.destroyForcibly().waitFor();
        }
        Process last = start(List.of(), out, "--resume");
        assertThat(last.waitFor()).isEqualTo(1);
        Path whole = folder.resolve("whole");
        TinyCohort.run(manifest, whole, false, 1);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(whole));
    }

    // The limit on a file's size makes writing fail midway, as a full disk does.
    @Test
    void aDiskThatTakesNoMoreStopsTheRunWithOneLineAndLosesNothing() throws Exception {
        assumeTrue(Files.isExecutable(Path.of("/bin/bash")), "skipped: needs bash to limit the size of files");
        Path out = folder.resolve("full");
        Process run = start(List.of("/bin/bash", "-c", "ulimit -f 100; exec \"$@\"", "-"), out);
        assertThat(run.waitFor()).isEqualTo(2);
        String said = Files.readString(folder.resolve("said.txt"));
        assertThat(said.strip().lines()).hasSize(1);
        assertThat(said).startsWith("cannot read or write: ").contains("--resume");
        assertThat(out.resolve("features.csv")).doesNotExist();
        TinyCohort.run(manifest, out, true, 2);
        Path whole = folder.resolve("whole");
        TinyCohort.run(manifest, whole, false, 1);
        assertThat(TinyCohort.bytes(out)).isEqualTo(TinyCohort.bytes(whole));
    }

    private Process start(List<String> before, Path out, String... options) throws IOException {
        List<String> command = new ArrayList<>(before);
        command.addAll(List.of(
                ProcessHandle.current().info().command().orElse("java"),
                "-XX:-UsePerfData",
                "-Djava.awt.headless=true",
                "-cp",
                System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                "org.leiogauge.cli.Main",
                "cohort",
                manifest.toString(),
                "--out",
                out.toString(),
                "--threads",
                "2",
                "--set",
                TinyCohort.QUICK.get(0)));
        command.addAll(List.of(options));
        return new ProcessBuilder(command)
                .redirectOutput(ProcessBuilder.Redirect.DISCARD)
                .redirectError(folder.resolve("said.txt").toFile())
                .start();
    }

    private static int entriesOf(Path cases) throws IOException {
        if (!Files.isDirectory(cases)) return 0;
        try (Stream<Path> inside = Files.list(cases)) {
            return (int) inside.count();
        }
    }
}
