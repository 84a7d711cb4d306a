// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.junit.jupiter.api.Assumptions.assumeTrue;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;

/**
 * General-purpose tools from Debian that serve as oracles; tests are skipped, visibly, where one is missing, but fail where
 * the environment says that this is CI: there nothing may be passed over.
 */
public final class OutsideTool {
    private static final String PYTHON = "/usr/bin/python3";

    private OutsideTool() {}

    public static void assumePresent(String... tools) {
        for (String tool : tools)
            assume(
                    Arrays.stream(System.getenv("PATH").split(":")).anyMatch(d -> Files.isExecutable(Path.of(d, tool))),
                    "not installed: " + tool);
    }

    public static void assumePydicom() {
        assume(Files.isExecutable(Path.of(PYTHON)), "not installed: python3");
        assume(works(PYTHON, "-c", "import pydicom, numpy"), "not installed: python3-pydicom, python3-numpy");
    }

    /** Skips the test where the condition does not hold; in CI it fails. */
    public static void assume(boolean condition, String otherwise) {
        if (System.getenv("CI") != null) assertThat(condition).as(otherwise).isTrue();
        assumeTrue(condition, otherwise);
    }

    private static boolean works(String... command) {
        try {
            return new ProcessBuilder(command).redirectErrorStream(true).start().waitFor() == 0;
        } catch (IOException e) {
            return false;
        } catch (InterruptedException e) {
            throw new IllegalStateException(e);
        }
    }

    /** What the command prints; it must succeed. */
    public static List<String> run(String... command) throws IOException, InterruptedException {
        Path out = Files.createTempFile("tool", ".txt");
        Process process = new ProcessBuilder(command)
                .redirectError(ProcessBuilder.Redirect.DISCARD)
                .redirectOutput(out.toFile())
                .start();
        int code = process.waitFor();
        List<String> lines = Files.readAllLines(out);
        Files.delete(out);
        assertThat(code).as(String.join(" ", command)).isZero();
        return lines;
    }

    public static List<String> python(String script, Object... arguments) throws IOException, InterruptedException {
        String[] command = new String[3 + arguments.length];
        command[0] = PYTHON;
        command[1] = "-c";
        command[2] = script;
        for (int i = 0; i < arguments.length; i++) command[3 + i] = String.valueOf(arguments[i]);
        return run(command);
    }
}
