// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.cohort.Agreement;
import org.leiogauge.cohort.AgreementFolder;
import org.leiogauge.task.InputException;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "agree",
        mixinStandardHelpOptions = true,
        description = "Says how well two feature tables agree on the same lesions: two readers, or two scans.",
        footer = {"", "Example:", "  leiogauge agree reader-1/features.csv reader-2/features.csv --out agreement"})
final class AgreeCommand implements Callable<Integer> {
    @Parameters(index = "0", paramLabel = "A.csv", description = "feature table, as measure or cohort writes it")
    private Path first;

    @Parameters(index = "1", paramLabel = "B.csv", description = "the same lesions, measured again")
    private Path second;

    @Option(
            names = "--out",
            paramLabel = "DIR",
            description = "folder for table, figures and page; else the table alone")
    private Optional<Path> out = Optional.empty();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        Agreement agreement = Agreement.between(first, second);
        if (out.isPresent()) {
            AgreementFolder.write(
                    agreement, first.toString(), second.toString(), "Leiogauge " + Main.VERSION, out.get());
            System.out.println(out.get().resolve("agreement.html"));
        } else AgreementFolder.table(agreement).write(System.out);
        return 0;
    }
}
