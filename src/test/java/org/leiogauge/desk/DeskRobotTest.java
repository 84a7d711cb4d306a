// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.BufferedReader;
import java.io.IOException;
import java.io.InputStreamReader;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import java.util.stream.Stream;
import org.junit.jupiter.api.Test;
import org.junit.jupiter.api.io.TempDir;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.measure.Settings;
import org.leiogauge.measure.Software;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

class DeskRobotTest {
    private static final Path DEMO = Path.of("test-images/demo");
    private static final Path PICTURES = Path.of("target/desk-pictures");

    @TempDir
    Path folder;

    @Test
    void aCaseReadByHandGivesTheTableThatTheCommandLineGives() throws Exception {
        requireScreenServer();
        Path export = folder.resolve("export");
        Process screen = new ProcessBuilder(
                        "Xvfb", "-displayfd", "1", "-screen", "0", "1920x1080x24", "-nolisten", "tcp")
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .start();
        try {
            String display = ":" + firstLine(screen);
            Path log = PICTURES.resolve("robot.log");
            Files.createDirectories(PICTURES);
            assertThat(robot(display, log, export)).as(Files.readString(log)).isZero();
        } finally {
            screen.destroy();
            screen.waitFor();
        }
        // Oracle: the measuring command on the outline and the case file that the desk exported.
        Path headless = folder.resolve("headless");
        try (Workers workers = Workers.of(2)) {
            CaseMeasurement.run(
                    new CaseRequest(
                            DEMO.resolve("dicom"),
                            export.resolve("outline.dcm"),
                            Optional.empty(),
                            Optional.empty(),
                            Optional.of(export.resolve("case.yaml")),
                            Settings.standard(),
                            Software.NAME,
                            List.of()),
                    headless,
                    workers,
                    Progress.NONE);
        }
        for (String table : List.of("features.csv", "features-wide.csv", "dictionary.csv"))
            assertThat(export.resolve(table)).hasSameBinaryContentAs(headless.resolve(table));
        assertThat(pictures()).hasSizeGreaterThanOrEqualTo(14);
    }

    // Where tests must not be skipped, a missing server is an error.
    private static void requireScreenServer() {
        boolean isThere = Arrays.stream(System.getenv("PATH").split(":"))
                .anyMatch(place -> Files.isExecutable(Path.of(place, "Xvfb")));
        if ("true".equals(System.getenv("CI")))
            assertThat(isThere).as("Xvfb is installed").isTrue();
        assumeTrue(isThere, "not installed: Xvfb");
    }

    private static String firstLine(Process process) throws IOException {
        BufferedReader reader =
                new BufferedReader(new InputStreamReader(process.getInputStream(), StandardCharsets.US_ASCII));
        String line = reader.readLine();
        assertThat(line).as("display number").isNotNull();
        return line.strip();
    }

    private int robot(String display, Path log, Path export) throws IOException, InterruptedException {
        ProcessBuilder builder = new ProcessBuilder(
                Path.of(System.getProperty("java.home"), "bin", "java").toString(),
                "-Xmx1500m",
                "-cp",
                System.getProperty("java.class.path"),
                DeskRobot.class.getName(),
                DEMO.toString(),
                folder.resolve("work").toString(),
                PICTURES.toString(),
                export.toString());
        builder.environment().put("DISPLAY", display);
        Process robot =
                builder.redirectErrorStream(true).redirectOutput(log.toFile()).start();
        try {
            return robot.waitFor(20, TimeUnit.MINUTES) ? robot.exitValue() : -1;
        } finally {
            robot.destroyForcibly();
        }
    }

    private static List<Path> pictures() throws IOException {
        try (Stream<Path> files = Files.list(PICTURES)) {
            return files.filter(file -> file.toString().endsWith(".png")).toList();
        }
    }
}
