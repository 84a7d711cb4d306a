// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.List;
import java.util.concurrent.CancellationException;
import java.util.concurrent.CountDownLatch;
import java.util.concurrent.atomic.AtomicBoolean;
import java.util.stream.IntStream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;

class WorkersTest {
    @Test
    void resultsComeInTheOrderOfThePiecesForAnyNumberOfThreads() {
        List<Integer> expected = IntStream.range(0, 100).map(i -> i * i).boxed().toList();
        for (int threads : new int[] {1, 2, 3, 7})
            try (Workers workers = Workers.of(threads)) {
                assertThat(workers.map(100, i -> i * i)).isEqualTo(expected);
            }
    }

    @Test
    void workHandedOverFromInsideRunsAndDoesNotBlock() {
        try (Workers workers = Workers.of(2)) {
            List<Integer> sums = workers.map(8, i -> workers.map(8, j -> i * j).stream()
                    .mapToInt(Integer::intValue)
                    .sum());
            assertThat(sums)
                    .isEqualTo(IntStream.range(0, 8).map(i -> 28 * i).boxed().toList());
        }
    }

    @Test
    void theFirstPiecesErrorReachesTheCallerAsItWasThrown() {
        for (int threads : new int[] {1, 3})
            try (Workers workers = Workers.of(threads)) {
                assertThatThrownBy(() -> workers.forEach(20, i -> {
                            if (i >= 5) throw new InputException("file " + i, "", "nothing", "something");
                        }))
                        .isInstanceOf(InputException.class)
                        .hasMessageStartingWith("file 5");
                assertThatThrownBy(() -> workers.forEach(3, i -> {
                            throw new CancellationException();
                        }))
                        .isInstanceOf(CancellationException.class);
            }
    }

    @Test
    void workThatHadBegunHasEndedWhenAnErrorReachesTheCaller() {
        CountDownLatch begun = new CountDownLatch(1);
        AtomicBoolean ended = new AtomicBoolean();
        try (Workers workers = Workers.of(2)) {
            assertThatThrownBy(() -> workers.forEach(2, i -> {
                        if (i == 0) {
                            begun.await();
                            throw new IOException("first");
                        }
                        begun.countDown();
                        // long enough for the other one's error to be noticed
                        Thread.sleep(200);
                        ended.set(true);
                    }))
                    .hasMessage("first");
            assertThat(ended).isTrue();
        }
    }

    @Test
    void aFailedWriteLeavesTheOlderFileAndNothingElse(@TempDir Path folder) throws IOException {
        Path file = folder.resolve("sub/table.csv");
        WholeFile.write(file, out -> out.write('a'));
        assertThatThrownBy(() -> WholeFile.write(file, out -> {
                    out.write('b');
                    throw new IOException("disk full");
                }))
                .hasMessage("disk full");
        assertThat(Files.readString(file)).isEqualTo("a");
        try (var files = Files.list(file.getParent())) {
            assertThat(files).containsExactly(file);
        }
    }

    @Test
    void anErrorIsOneHarmlessLineWhateverTheFileHeld() {
        InputException e = new InputException("a\nb", "f\u001b[31m", "x\u202Ey".repeat(1000), "z");
        assertThat(e.getMessage()).doesNotContain("\n", "\u001b", "\u202E").hasSizeLessThan(400);
    }

    @Test
    void aPartOfTheProgressIsAShareOfTheWhole() {
        double[] last = {0};
        Progress progress = fraction -> last[0] = fraction;
        progress.part(0.2, 0.6).part(0.5, 1).at(0.5);
        assertThat(last[0]).isEqualTo(0.5);
    }
}
