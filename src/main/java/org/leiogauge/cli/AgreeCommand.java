// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.cohort.Agreement;
import org.leiogauge.cohort.AgreementFolder;
import org.leiogauge.cohort.ReaderAgreement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "agree",
        mixinStandardHelpOptions = true,
        description = {
            "Says how well readers, or two scans, agree on the same lesions: in features, outlines and impressions.",
            "Given are two feature tables; or the folder of a cohort, for the features and outlines of its readers;",
            "or tables of impressions with the columns case,lesion,reader and one per sign: signs and terms are those of the",
            "case file's impression, which docs/lexicon.md lists, concern being a grade of 1 to 5; an empty cell says nothing."
        },
        footer = {
            "",
            "Example:",
            "  leiogauge agree reader-1/features.csv reader-2/features.csv --out agreement",
            "  leiogauge agree cohort --out agreement",
            "  leiogauge agree impressions.csv --out agreement"
        })
final class AgreeCommand implements Callable<Integer> {
    @Parameters(
            index = "0..*",
            arity = "1..*",
            paramLabel = "INPUT",
            description = "A.csv B.csv: feature tables of the same lesions; or a cohort's folder; or impressions")
    private List<Path> inputs = new ArrayList<>();

    @Option(
            names = "--readers",
            split = ",",
            paramLabel = "READER",
            description = "the two readers of a cohort whose features are compared, as r1,r2; without, the only two")
    private List<String> readers = new ArrayList<>();

    @Option(
            names = "--out",
            paramLabel = "DIR",
            description = "folder for table, figures and page; else the table alone")
    private Optional<Path> out = Optional.empty();

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        ReaderAgreement agreement;
        try (Workers workers = common.workers()) {
            agreement = ReaderAgreement.of(inputs, readers, workers, common.progress("comparing"));
        }
        if (out.isPresent()) {
            AgreementFolder.write(agreement, "Leiogauge " + Main.VERSION, out.get());
            System.out.println(out.get().resolve("agreement.html"));
        } else AgreementFolder.table(agreement).write(System.out);
        agreement.features().flatMap(Agreement::whyNone).ifPresent(System.err::println);
        return 0;
    }
}
