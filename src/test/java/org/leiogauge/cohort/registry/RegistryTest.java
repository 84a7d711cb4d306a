// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.SQLException;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.SplittableRandom;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.task.InputException;

/** The registry in one file. */
class RegistryTest extends RegistryContract {
    @TempDir
    Path folder;

    @Override
    Registry open() throws InputException, IOException {
        return Registry.open(folder.resolve("registry").toString(), true);
    }

    @Test
    void itIsOneFile() throws IOException, InputException {
        try (Registry registry = open()) {
            registry.add(Entries.of("a", "", 1));
            registry.force();
        }
        try (Stream<Path> files = Files.list(folder)) {
            assertThat(files.map(file -> file.getFileName().toString())).containsExactly("registry.mv.db");
        }
    }

    // The tables themselves refuse what our own code would never write.
    @Test
    void theTablesRefuseWhatContradictsItself() throws IOException, InputException, SQLException {
        try (Registry registry = open()) {
            registry.add(Entries.of("a", "r1", 1));
        }
        try (Connection database =
                        DriverManager.getConnection("jdbc:h2:file:" + folder.resolve("registry"), "registry", "");
                Statement statement = database.createStatement()) {
            for (String refused : List.of(
                    "UPDATE registry_measurement SET measured = NULL WHERE status = 'ok'",
                    "UPDATE registry_measurement SET status = 'fine'",
                    "UPDATE registry_measurement SET low = 9, high = 8 WHERE status = 'ok'",
                    "UPDATE registry_measurement SET low = 1, high = NULL WHERE status = 'ok'",
                    "UPDATE registry_impression SET concern = 6",
                    "UPDATE registry_set SET set_id = 'x'",
                    "DELETE FROM registry_case",
                    "INSERT INTO registry_case VALUES ('', '', '', '')",
                    "INSERT INTO registry_case VALUES ('a', '', '', '')",
                    "INSERT INTO registry_lesion VALUES ('nobody', 'L1')",
                    "INSERT INTO registry_secret VALUES (2, 'x')"))
                assertThatThrownBy(() -> statement.execute(refused)).as(refused).isInstanceOf(SQLException.class);
        }
    }

    @Test
    void whatIsNoRegistryIsRefusedInOneLine() throws IOException, InputException {
        assertThatThrownBy(() -> Registry.open(folder.resolve("none").toString(), false))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("none.mv.db: found no such file, expected a registry");
        Files.writeString(folder.resolve("text.mv.db"), "this is no database\n".repeat(900));
        assertThatThrownBy(() -> Registry.open(folder.resolve("text").toString(), false))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("text.mv.db: found a damaged file, or none of ours");
        for (String place : List.of("jdbc:h2:mem:x", "x;INIT=RUNSCRIPT FROM 'http://example.org/x.sql'"))
            assertThatThrownBy(() -> Registry.open(place, true)).isInstanceOf(InputException.class);
        assertThatThrownBy(() -> Registry.open("jdbc:postgresql://localhost:1/x?user=u&password=hidden", true))
                .isInstanceOf(InputException.class)
                .hasMessageContaining("found no connection")
                .hasMessageNotContaining("hidden");
    }

    @Test
    void aFileOfOtherTablesOrANewerProgramIsRefused() throws IOException, InputException, SQLException {
        open().close();
        change("UPDATE registry_migration SET checksum = 'x'");
        assertThatThrownBy(this::open)
                .isInstanceOf(InputException.class)
                .hasMessageContaining("migration 001-cases.sql: found another text than ours");
        Files.delete(folder.resolve("registry.mv.db"));
        open().close();
        change("INSERT INTO registry_migration VALUES (99, 'later', 'x')");
        assertThatThrownBy(this::open)
                .isInstanceOf(InputException.class)
                .hasMessageContaining("found tables of version 99");
    }

    private void change(String statement) throws SQLException {
        try (Connection database =
                        DriverManager.getConnection("jdbc:h2:file:" + folder.resolve("registry"), "registry", "");
                Statement change = database.createStatement()) {
            change.execute(statement);
        }
    }

    // A truncated file either opens with a state that was once committed, or is refused: never a wrong value.
    @Test
    void aTruncatedFileIsRefusedOrHoldsWhatWasCommitted() throws IOException, InputException {
        List<Entry> added = new ArrayList<>();
        try (Registry registry = open()) {
            for (int i = 0; i < 6; i++) {
                added.add(Entries.of("case-" + i, "r1", i));
                registry.add(added.get(i));
            }
        }
        byte[] whole = Files.readAllBytes(folder.resolve("registry.mv.db"));
        SplittableRandom random = new SplittableRandom(3);
        for (int draw = 0; draw < 12; draw++) {
            Path cut = folder.resolve("cut-" + draw);
            Files.write(Path.of(cut + ".mv.db"), Arrays.copyOf(whole, random.nextInt(1, whole.length)));
            try (Registry registry = Registry.open(cut.toString(), false)) {
                List<Entry> left = Entries.in(registry);
                assertThat(added.subList(0, left.size())).isEqualTo(left);
            } catch (InputException refused) {
                assertThat(refused).hasMessageContaining("cut-" + draw + ".mv.db: found");
            }
        }
    }

    // Each line that the other process prints is a promise that the entry is on the disk.
    @Test
    void killedWhileAddingNothingThatWasPromisedIsLostAndNothingIsHalf() throws Exception {
        SplittableRandom random = new SplittableRandom(17);
        int promised = 0;
        for (int kill = 0; kill < 3; kill++) {
            Process adder = start(promised);
            int wanted = promised + 3 + random.nextInt(12);
            try (var said = adder.inputReader()) {
                String line = said.readLine();
                while (line != null) {
                    promised = Integer.parseInt(line) + 1;
                    // by its handle: killed through the process object, what it said last would be thrown away
                    if (promised >= wanted) adder.toHandle().destroyForcibly();
                    line = said.readLine();
                }
            }
            adder.waitFor();
            assertThat(promised).isGreaterThanOrEqualTo(wanted);
            try (Registry registry = open()) {
                List<Entry> there = Entries.in(registry);
                assertThat(there).hasSizeBetween(promised, promised + 1);
                for (int i = 0; i < there.size(); i++) assertThat(there.get(i)).isEqualTo(Adder.entry(i));
                promised = there.size();
            }
        }
    }

    @Test
    void aRegistryThatAnotherProcessHasOpenIsRefused() throws Exception {
        Process adder = start(0);
        try (var said = adder.inputReader()) {
            said.readLine();
            assertThatThrownBy(this::open)
                    .isInstanceOf(InputException.class)
                    .hasMessageContaining("registry.mv.db: found a registry that another program has open");
        } finally {
            adder.destroyForcibly().waitFor();
        }
    }

    private Process start(int from) throws IOException {
        return new ProcessBuilder(
                        ProcessHandle.current().info().command().orElse("java"),
                        "-cp",
                        System.getProperty("surefire.test.class.path", System.getProperty("java.class.path")),
                        Adder.class.getName(),
                        folder.resolve("registry").toString(),
                        Integer.toString(from))
                .redirectError(ProcessBuilder.Redirect.INHERIT)
                .start();
    }

    /** Adds entries until it is killed, and prints the number of each that is on the disk. */
    static final class Adder {
        private static final int MOST = 5000;

        private Adder() {}

        public static void main(String[] arguments) throws Exception {
            try (Registry registry = Registry.open(arguments[0], true)) {
                for (int i = Integer.parseInt(arguments[1]); i < MOST; i++) {
                    registry.add(entry(i));
                    System.out.println(i);
                    System.out.flush();
                }
            }
        }

        static Entry entry(int i) {
            return Entries.of(String.format("case-%05d", i), "r1", i / 3.0);
        }
    }
}
