// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import java.io.File;
import java.io.IOException;
import java.nio.charset.StandardCharsets;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;

/**
 * A program of the tests in a process that permissions hold for: the superuser, who may write everywhere, gives up that power
 * for it.
 */
final class Unprivileged {
    private static final Path SETPRIV = Path.of("/usr/bin/setpriv");

    private Unprivileged() {}

    /** @return what it printed */
    static String run(Class<?> program, Path... arguments) throws IOException, InterruptedException {
        List<String> command = new ArrayList<>();
        if (System.getProperty("user.name").equals("root") && Files.isExecutable(SETPRIV))
            command.addAll(List.of(SETPRIV.toString(), "--bounding-set=-all", "--inh-caps=-all"));
        command.add(Path.of(System.getProperty("java.home"), "bin", "java").toString());
        command.addAll(List.of("-cp", System.getProperty("java.class.path"), program.getName()));
        for (Path argument : arguments) command.add(argument.toString());
        Process process = new ProcessBuilder(command).redirectErrorStream(true).start();
        String printed = new String(process.getInputStream().readAllBytes(), StandardCharsets.UTF_8);
        process.waitFor();
        return printed;
    }

    /** Lets nobody read or write a file or folder, as far as permissions go. */
    static void close(File file) {
        if (!(file.setReadable(false) && file.setWritable(false)))
            throw new IllegalStateException("permissions of " + file + " cannot be changed");
    }
}
