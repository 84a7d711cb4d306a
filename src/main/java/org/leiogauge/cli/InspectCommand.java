// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.nio.file.Path;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Study;
import org.leiogauge.study.StudyText;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "inspect",
        mixinStandardHelpOptions = true,
        description = "Lists the series of a study, the role of each and why it has it.",
        footer = {"", "Example:", "  leiogauge inspect study"})
final class InspectCommand implements Callable<Integer> {
    @Parameters(paramLabel = "STUDY", description = "folder of DICOM files, or of NIfTI files with a study.yaml")
    private Path folder;

    @Option(names = "--case", paramLabel = "CASE.yaml", description = "the case file, which may set roles")
    private Optional<Path> caseFile = Optional.empty();

    @Option(names = "--json", description = "as JSON")
    private boolean json;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException {
        Study study;
        try (Workers workers = common.workers()) {
            study = Study.open(folder, workers, common.progress("looking through the study"));
        }
        if (caseFile.isPresent())
            study = study.with(CaseFile.read(caseFile.get()).series(), caseFile.get());
        System.out.print(json ? StudyText.json(study) : StudyText.table(study));
        return 0;
    }
}
