// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.time.LocalDateTime;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.measure.BlindReading;
import org.leiogauge.measure.CaseMeasurement;
import org.leiogauge.measure.CaseRequest;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "measure",
        mixinStandardHelpOptions = true,
        description =
                "Measures one lesion of a study: feature tables, dictionary, pictures and a report as HTML and PDF;"
                        + " for DICOM images also a segmentation and a structured report.",
        footer = {"", "Example:", "  leiogauge measure study --outline study/contours.dcm --case case.yaml --out result"
        })
final class MeasureCommand implements Callable<Integer> {
    @Parameters(paramLabel = "STUDY", description = "folder of DICOM files, or of NIfTI files with a study.yaml")
    private Path study;

    @Option(
            names = "--outline",
            paramLabel = "FILE",
            required = true,
            description = "the lesion: RTSTRUCT, DICOM segmentation, or NIfTI mask")
    private Path outline;

    @Option(
            names = "--roi",
            paramLabel = "NAME",
            description =
                    "which region of the outline's file; without, the one named as the case file's lesion if there"
                            + " are several")
    private Optional<String> roi = Optional.empty();

    @Option(
            names = "--references",
            paramLabel = "FILE",
            description =
                    "regions named muscle, myometrium, endometrium, urine: RTSTRUCT or DICOM segmentation; or a .yaml"
                            + " file of outline --propose-references that a reader has confirmed")
    private Optional<Path> references = Optional.empty();

    @Option(
            names = "--case",
            paramLabel = "CASE.yaml",
            description =
                    "the case file; an impression in it that is not locked is locked, and the time at which the numbers were"
                            + " first shown is added")
    private Optional<Path> caseFile = Optional.empty();

    @Mixin
    private StandardsOptions standards;

    @Option(names = "--out", paramLabel = "DIR", required = true, description = "folder that gets the results")
    private Path out;

    @Option(
            names = "--with-identity",
            description =
                    "the DICOM outputs bear the patient's name and ID, so that an archive files them with the patient;"
                            + " without, they bear the case's name, and study and frame of reference alone tie them to the images")
    private boolean withIdentity;

    @Spec
    private CommandSpec spec;

    @Mixin
    private SettingsOptions settings;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        CaseRequest request = new CaseRequest(
                study,
                outline,
                roi,
                references,
                caseFile,
                settings.read(),
                standards.criteria(),
                standards.prevalence(),
                "Leiogauge " + Main.VERSION,
                List.of(),
                withIdentity);
        BlindReading reading = BlindReading.begin(caseFile, LocalDateTime.now());
        try (Workers workers = common.workers()) {
            CaseMeasurement.run(request, out, workers, common.progress("measuring"));
        }
        reading.numbersShown(LocalDateTime.now()).ifPresent(spec.commandLine().getErr()::println);
        System.out.println(out.resolve("report.html"));
        return 0;
    }
}
