// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.io.PrintWriter;
import java.io.UncheckedIOException;
import java.nio.file.InvalidPathException;
import java.nio.file.Path;
import java.util.concurrent.CancellationException;
import org.leiogauge.measure.Software;
import org.leiogauge.task.InputException;
import picocli.CommandLine;
import picocli.CommandLine.Command;
import picocli.CommandLine.ParseResult;
import picocli.CommandLine.TypeConversionException;

/** The command {@code leiogauge}. */
@Command(
        name = "leiogauge",
        version = "leiogauge " + Main.VERSION,
        description = {
            "Measures a lesion drawn on pelvic MRI: numbers with units, definitions and their uncertainty.",
            "For research. Not a diagnosis."
        },
        mixinStandardHelpOptions = true,
        synopsisSubcommandLabel = "COMMAND",
        subcommands = {
            DemoCommand.class,
            InspectCommand.class,
            OutlineCommand.class,
            MeasureCommand.class,
            CohortCommand.class,
            RegistryCommand.class,
            AgreeCommand.class,
            DiscriminateCommand.class,
            FeaturesCommand.class,
            FilterCommand.class,
            AppraiseCommand.class,
            AdcCommand.class,
            PseudonymiseCommand.class,
            PhantomCommand.class,
            DeskCommand.class,
            CommandLine.HelpCommand.class
        })
public final class Main implements Runnable {
    static final String VERSION = Software.VERSION;

    private static final int BAD_INPUT = 2;
    private static final int INTERNAL = 3;

    @CommandLine.Spec
    private CommandLine.Model.CommandSpec spec;

    public static void main(String[] arguments) {
        // no window, no dock icon: the pictures are drawn in memory
        System.setProperty("java.awt.headless", "true");
        System.exit(run(arguments));
    }

    /** Runs one command and returns its exit code. */
    static int run(String... arguments) {
        return commandLine().execute(arguments);
    }

    static CommandLine commandLine() {
        return new CommandLine(new Main())
                .registerConverter(Path.class, Main::path)
                .setExecutionExceptionHandler(Main::explain)
                .setParameterExceptionHandler(new Usage())
                .setCaseInsensitiveEnumValuesAllowed(true);
    }

    // What is wrong is told by Usage. An empty path is the folder that one happens to be in: a script's variable that
    // was not set.
    private static Path path(String text) {
        if (text.isBlank()) throw new TypeConversionException("an empty path");
        try {
            return Path.of(text);
        } catch (InvalidPathException e) {
            throw new TypeConversionException("no path");
        }
    }

    @Override
    public void run() {
        throw new CommandLine.ParameterException(spec.commandLine(), "a command is missing");
    }

    private static int explain(Exception e, CommandLine command, ParseResult parsed) {
        PrintWriter err = command.getErr();
        if (command.getParseResult().hasMatchedOption("--trace")) e.printStackTrace(err);
        if (e instanceof InputException) {
            err.println(e.getMessage());
            return BAD_INPUT;
        }
        Exception plain = e instanceof UncheckedIOException unchecked ? unchecked.getCause() : e;
        if (plain instanceof IOException) {
            err.println("cannot read or write: " + plain.getMessage());
            return BAD_INPUT;
        }
        if (e instanceof CancellationException) {
            err.println("stopped; nothing was written");
            return INTERNAL;
        }
        err.println("internal error: " + e + " (--trace shows where)");
        return INTERNAL;
    }
}
