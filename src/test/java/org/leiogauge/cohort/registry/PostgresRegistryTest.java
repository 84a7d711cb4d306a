// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.registry;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import java.io.IOException;
import java.net.ServerSocket;
import java.nio.file.Files;
import java.nio.file.Path;
import java.nio.file.attribute.PosixFilePermissions;
import java.sql.Connection;
import java.sql.DriverManager;
import java.sql.Statement;
import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.AfterAll;
import org.junit.jupiter.api.BeforeAll;
import org.junit.jupiter.api.BeforeEach;
import org.junit.jupiter.api.Test;
import org.leiogauge.dicom.OutsideTool;
import org.leiogauge.task.InputException;

/** The registry on a server: Debian's PostgreSQL, begun in a folder of its own. */
class PostgresRegistryTest extends RegistryContract {
    private static final Path VERSIONS = Path.of("/usr/lib/postgresql");

    private static Path data;
    private static Path programs;
    private static int port;

    @BeforeAll
    static void begin() throws Exception {
        programs = programs().orElse(VERSIONS);
        OutsideTool.assume(Files.isExecutable(programs.resolve("pg_ctl")), "not installed: Debian's postgresql");
        data = Files.createTempDirectory(
                Path.of("/tmp"),
                "registry",
                PosixFilePermissions.asFileAttribute(PosixFilePermissions.fromString("rwxrwxrwx")));
        Files.setPosixFilePermissions(data, PosixFilePermissions.fromString("rwxrwxrwx"));
        try (ServerSocket free = new ServerSocket(0)) {
            port = free.getLocalPort();
        }
        run("initdb", "-D", data + "/db", "-A", "trust", "-U", "registry", "-E", "UTF8");
        startServer();
    }

    private static void startServer() throws Exception {
        run("pg_ctl", "-D", data + "/db", "-w", "-l", data + "/log", "-o", "-p " + port + " -k " + data, "start");
    }

    @AfterAll
    static void end() throws Exception {
        if (data == null) return;
        run("pg_ctl", "-D", data + "/db", "-m", "immediate", "stop");
        try (Stream<Path> files = Files.walk(data)) {
            for (Path file : files.sorted(Comparator.reverseOrder()).toList()) Files.deleteIfExists(file);
        }
    }

    @BeforeEach
    void empty() throws Exception {
        try (Connection database = DriverManager.getConnection(url());
                Statement statement = database.createStatement()) {
            statement.execute("DROP SCHEMA public CASCADE");
            statement.execute("CREATE SCHEMA public");
        }
    }

    @Override
    Registry open() throws InputException, IOException {
        return Registry.open(url(), true);
    }

    @Test
    void aServerThatIsGoneInBetweenIsSaidAndNothingIsHalf() throws Exception {
        Entry a = Entries.of("a", "r1", 1);
        try (Registry registry = open()) {
            registry.add(a);
            run("pg_ctl", "-D", data + "/db", "-m", "immediate", "stop");
            assertThatThrownBy(() -> registry.add(Entries.of("b", "r1", 2)))
                    .isInstanceOf(IOException.class)
                    .hasMessageContaining("the registry did not take it")
                    .hasMessageContaining("what was in it before is untouched");
        } finally {
            startServer();
        }
        try (Registry registry = open()) {
            assertThat(Entries.in(registry)).containsExactly(a);
        }
    }

    private static String url() {
        return "jdbc:postgresql://localhost:" + port + "/postgres?user=registry";
    }

    private static Optional<Path> programs() throws IOException {
        if (!Files.isDirectory(VERSIONS)) return Optional.empty();
        try (Stream<Path> versions = Files.list(VERSIONS)) {
            return versions.map(version -> version.resolve("bin")).max(Comparator.naturalOrder());
        }
    }

    // The server refuses to be root.
    private static void run(String program, String... arguments) throws Exception {
        List<String> command = new ArrayList<>();
        if (System.getProperty("user.name").equals("root")) command.addAll(List.of("runuser", "-u", "postgres", "--"));
        command.add(programs.resolve(program).toString());
        command.addAll(List.of(arguments));
        Process process = new ProcessBuilder(command)
                .directory(data.toFile())
                .redirectErrorStream(true)
                .redirectOutput(data.resolve("said").toFile())
                .start();
        assertThat(process.waitFor(5, TimeUnit.MINUTES)).isTrue();
        assertThat(process.exitValue())
                .as(() -> String.join(" ", command) + ": " + said())
                .isZero();
    }

    private static String said() {
        try {
            return Files.readString(data.resolve("said"));
        } catch (IOException e) {
            return e.toString();
        }
    }
}
