// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.oracle;

import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.dicom.OutsideTool;

/** Runs a script of src/test/resources/oracle with the general-purpose libraries of Debian's python3 packages. */
public final class DebianPython {
    private static final Path PYTHON = Path.of("/usr/bin/python3");

    private DebianPython() {}

    /** Runs the script and returns its lines; skips the test, saying so, where the modules are not installed; in CI it fails. */
    public static List<String> run(String modules, String script, Object... arguments) {
        OutsideTool.assume(Files.isExecutable(PYTHON), "not installed: " + PYTHON);
        OutsideTool.assume(
                call(List.of(PYTHON.toString(), "-c", "import " + modules)).exit() == 0,
                "not installed: one of Debian's python3 modules " + modules);
        List<String> command = new ArrayList<>(List.of(PYTHON.toString(), "src/test/resources/oracle/" + script));
        for (Object argument : arguments) command.add(argument.toString());
        Result result = call(command);
        if (result.exit() != 0) throw new AssertionError(script + " failed:\n" + result.output());
        return result.output().lines().toList();
    }

    private record Result(int exit, String output) {}

    private static Result call(List<String> command) {
        try {
            Process process =
                    new ProcessBuilder(command).redirectErrorStream(true).start();
            String output = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
            return new Result(process.waitFor(), output);
        } catch (IOException e) {
            throw new IllegalStateException(e);
        } catch (InterruptedException e) {
            Thread.currentThread().interrupt();
            throw new IllegalStateException(e);
        }
    }
}
