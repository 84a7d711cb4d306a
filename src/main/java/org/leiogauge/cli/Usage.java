// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.PrintWriter;
import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.stream.Collectors;
import org.leiogauge.task.InputException;
import org.leiogauge.task.TypeWords;
import picocli.CommandLine;
import picocli.CommandLine.IParameterExceptionHandler;
import picocli.CommandLine.MissingParameterException;
import picocli.CommandLine.Model.ArgSpec;
import picocli.CommandLine.Model.OptionSpec;
import picocli.CommandLine.OverwrittenOptionException;
import picocli.CommandLine.ParameterException;
import picocli.CommandLine.UnmatchedArgumentException;

/** Tells wrong usage as all other errors are told: one line with what was found and what was expected. */
final class Usage implements IParameterExceptionHandler {
    @Override
    public int handleParseException(ParameterException e, String[] arguments) {
        CommandLine command = e.getCommandLine();
        PrintWriter err = command.getErr();
        err.println(fault(e, List.of(arguments)).getMessage());
        err.println("see " + name(command) + " --help");
        return command.getCommandSpec().exitCodeOnInvalidInput();
    }

    private static InputException fault(ParameterException e, List<String> arguments) {
        CommandLine command = e.getCommandLine();
        // an option that is not known takes what follows it for an argument: it is the cause of what is missing
        List<String> unmatched =
                e instanceof UnmatchedArgumentException one ? one.getUnmatched() : command.getUnmatchedArguments();
        if (!unmatched.isEmpty()) return unmatched(command, unmatched);
        if (e instanceof MissingParameterException missing) return missing(missing, arguments);
        if (e instanceof OverwrittenOptionException twice)
            return new InputException(label(twice.getOverwritten()), "", "it twice", "it once");
        ArgSpec argument = e.getArgSpec();
        if (argument == null) return noCommand(command, e.getValue());
        String found = e.getValue() != null && e.getValue().isBlank() ? "an empty value" : e.getValue();
        return new InputException(label(argument), "", found, expected(argument, e.getCause()));
    }

    private static InputException unmatched(CommandLine command, List<String> unmatched) {
        if (!command.getSubcommands().isEmpty()) return noCommand(command, unmatched.get(0));
        List<String> options = unmatched.stream().filter(a -> a.startsWith("-")).toList();
        return options.isEmpty()
                ? new InputException(name(command), "", String.join(" ", unmatched), "no further argument")
                : new InputException(name(command), "", String.join(" ", options), "an option that it has");
    }

    private static InputException noCommand(CommandLine command, String found) {
        String commands = String.join(", ", command.getSubcommands().keySet());
        return new InputException(name(command), "", found == null ? "no command" : found, "one of " + commands);
    }

    private static InputException missing(MissingParameterException e, List<String> arguments) {
        List<ArgSpec> missing = e.getMissing();
        String labels = missing.stream().map(Usage::label).collect(Collectors.joining(", "));
        boolean isBare = missing.size() == 1
                && missing.get(0) instanceof OptionSpec option
                && Arrays.stream(option.names()).anyMatch(arguments::contains);
        if (isBare)
            return new InputException(labels, "", "no value", missing.get(0).paramLabel());
        return new InputException(
                name(e.getCommandLine()), "", "no " + labels, missing.size() == 1 ? "it" : "all of them");
    }

    private static String expected(ArgSpec argument, Throwable cause) {
        // a converter of ours says what it takes
        if (argument.converters().length > 0 && cause != null) return cause.getMessage();
        Class<?> type = argument.auxiliaryTypes().length > 0 ? argument.auxiliaryTypes()[0] : argument.type();
        if (type == Path.class) return "the path of a file or folder";
        return TypeWords.of(type).orElse(type == boolean.class ? "no value" : argument.paramLabel());
    }

    private static String label(ArgSpec argument) {
        return argument instanceof OptionSpec option ? option.longestName() : argument.paramLabel();
    }

    private static String name(CommandLine command) {
        return command.getCommandSpec().qualifiedName();
    }
}
