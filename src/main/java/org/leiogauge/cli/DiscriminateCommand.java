// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.cohort.Discrimination;
import org.leiogauge.cohort.DiscriminationFolder;
import org.leiogauge.cohort.OutcomeTable;
import org.leiogauge.cohort.statistics.NestedValidation;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "discriminate",
        mixinStandardHelpOptions = true,
        description =
                "Says how well features tell two outcomes apart: curves, cut-offs, a model, and how far to trust them.",
        footer = {"", "Example:", "  leiogauge discriminate cases.csv --outcome outcome --positive malignant --out roc"
        })
final class DiscriminateCommand implements Callable<Integer> {
    @Parameters(
            paramLabel = "TABLE",
            description = "one row per lesion, one column per feature and one for the outcome; case and site are used")
    private Path table;

    @Option(names = "--outcome", required = true, paramLabel = "COLUMN", description = "the outcome's column")
    private String outcome;

    @Option(
            names = "--positive",
            paramLabel = "VALUE",
            description = "the outcome that counts as positive; without, the last of the two in the alphabet")
    private Optional<String> positive = Optional.empty();

    @Option(
            names = "--reader",
            paramLabel = "NAME",
            description = "use the rows of one reader, where a table has several rows per case")
    private Optional<String> reader = Optional.empty();

    @Option(
            names = "--out",
            paramLabel = "DIR",
            description = "folder for tables, figures and page; else the table alone")
    private Optional<Path> out = Optional.empty();

    @Option(names = "--draws", paramLabel = "N", description = "draws of the bootstrap of cut-offs")
    private int draws = Discrimination.Settings.standard().draws();

    @Option(names = "--sensitivity", paramLabel = "S", description = "sensitivity of the second cut-off")
    private double sensitivity = Discrimination.Settings.standard().sensitivity();

    @Option(names = "--harmonise", description = "take each site's location and scale out, inside the folds")
    private boolean harmonise;

    @Option(names = "--seed", paramLabel = "N", description = "of folds and draws")
    private long seed = NestedValidation.Settings.standard().seed();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        OutcomeTable cases = OutcomeTable.read(table, outcome, positive, reader);
        Discrimination found;
        try (Workers workers = common.workers()) {
            found = Discrimination.of(cases, settings(), workers, common.progress("judging features"));
        }
        if (out.isPresent()) {
            DiscriminationFolder.write(found, cases, table.toString(), "Leiogauge " + Main.VERSION, out.get());
            System.out.println(out.get().resolve("discrimination.html"));
        } else DiscriminationFolder.table(found).write(System.out);
        if (positive.isEmpty())
            System.err.println("positive is " + cases.positive()
                    + ", the last of the two outcomes in the alphabet; --positive chooses another");
        found.whyNone().ifPresent(System.err::println);
        return 0;
    }

    private Discrimination.Settings settings() throws InputException {
        NestedValidation.Settings model = NestedValidation.Settings.standard();
        try {
            return new Discrimination.Settings(
                    draws,
                    sensitivity,
                    new NestedValidation.Settings(
                            model.folds(), model.innerFolds(), model.penalties(), model.leastShare(), harmonise, seed));
        } catch (IllegalArgumentException e) {
            throw InputException.refused("discriminate", "", e);
        }
    }
}
