// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.ByteArrayOutputStream;
import java.io.PrintStream;
import java.io.PrintWriter;
import java.io.StringWriter;
import java.nio.charset.StandardCharsets;
import picocli.CommandLine;

/** A command as it was run in this process: its exit code and what it said. */
record CommandRun(int exit, String out, String err) {
    static CommandRun of(String... arguments) {
        StringWriter err = new StringWriter();
        ByteArrayOutputStream out = new ByteArrayOutputStream();
        ByteArrayOutputStream said = new ByteArrayOutputStream();
        PrintStream before = System.out;
        PrintStream beforeErr = System.err;
        System.setOut(new PrintStream(out, true, StandardCharsets.UTF_8));
        System.setErr(new PrintStream(said, true, StandardCharsets.UTF_8));
        try {
            CommandLine command = Main.commandLine().setErr(new PrintWriter(err));
            int exit = command.execute(arguments);
            return new CommandRun(
                    exit, out.toString(StandardCharsets.UTF_8), said.toString(StandardCharsets.UTF_8) + err);
        } finally {
            System.setOut(before);
            System.setErr(beforeErr);
        }
    }
}
