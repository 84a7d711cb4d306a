// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.AppraisalJson;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.TableAppraisal;
import org.leiogauge.task.InputException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "appraise",
        mixinStandardHelpOptions = true,
        description = {
            "Holds the lesions of a feature table against criteria cards and textbook patterns.",
            "What a criterion is worth stands beside it. For research. Not a diagnosis."
        },
        footer = {"", "Example:", "  leiogauge appraise result/features.csv --prevalence brohl-2015 --case case.yaml"})
final class AppraiseCommand implements Callable<Integer> {
    @Parameters(paramLabel = "TABLE", description = "features.csv as measure writes it")
    private Path table;

    @Mixin
    private StandardsOptions standards;

    @Option(
            names = "--case",
            paramLabel = "CASE.yaml",
            description = "the case file, with the reader's impression; what measure adds to it is added here too")
    private Optional<Path> caseFile = Optional.empty();

    @Spec
    private CommandSpec spec;

    @Option(names = "--json", description = "as JSON")
    private boolean json;

    @Option(names = "--trace", description = "with an error, also where in the program it arose")
    private boolean trace;

    @Override
    public Integer call() throws InputException, IOException {
        BlindReading reading = BlindReading.begin(caseFile, LocalDateTime.now());
        List<Appraisal> appraisals = TableAppraisal.of(table, standards.criteria(), standards.prevalence(), caseFile);
        reading.numbersShown(LocalDateTime.now()).ifPresent(spec.commandLine().getErr()::println);
        System.out.print(json ? AppraisalJson.of(appraisals) : AppraisalText.of(appraisals));
        return 0;
    }
}
