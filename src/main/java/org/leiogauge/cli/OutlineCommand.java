// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.Locale;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.image.Mask;
import org.leiogauge.measure.OutlineRecipe;
import org.leiogauge.measure.OutlineRequest;
import org.leiogauge.measure.ReferencesFile;
import org.leiogauge.measure.RegionFile;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "outline",
        mixinStandardHelpOptions = true,
        description = "Makes a region out of rough contours: fills in between slices and moves the border to the edge.",
        footer = {
            "",
            "Example:",
            "  leiogauge outline study --rough sloppy.dcm --out lesion.nii.gz --truth truth.nii.gz"
        })
final class OutlineCommand implements Callable<Integer> {
    @Parameters(paramLabel = "STUDY", description = "folder of DICOM files, or of NIfTI files with a study.yaml")
    private Path study;

    @Option(
            names = "--rough",
            paramLabel = "FILE",
            required = true,
            description =
                    "the drawing, on a few slices or all: RTSTRUCT, DICOM segmentation, or NIfTI mask; or a .yaml"
                            + " file with one click, as 'click: {at: [57, 40, 5], diameter: 60}', one ellipse, as"
                            + " 'ellipse: {at: [57, 40, 5], radii: [30, 25], turn: 20}', in mm (LPS) and degrees, or areas on"
                            + " slices, as 'areas: [{slice: 7, points: [[10, 10], [30, 10], [20, 25]]}]', slices from 1, in voxels")
    private Path rough;

    @Option(names = "--roi", paramLabel = "NAME", description = "which region of the drawing's file")
    private Optional<String> roi = Optional.empty();

    @Option(
            names = "--out",
            paramLabel = "MASK",
            required = true,
            description = "file for the region: .nii.gz or .nii for NIfTI, else a DICOM segmentation")
    private Path out;

    @Option(names = "--form", paramLabel = "FORM", description = "nifti, seg or rtstruct, whatever the name ends with")
    private Optional<RegionFile.Form> form = Optional.empty();

    @Option(
            names = "--truth",
            paramLabel = "MASK",
            description = "the true region: prints how well drawing and result agree with it")
    private Optional<Path> truth = Optional.empty();

    @Option(
            names = "--truth-roi",
            paramLabel = "NAME",
            description = "which region of the true region's file; without, the one of --roi if there are several")
    private Optional<String> truthRoi = Optional.empty();

    @Option(
            names = "--propose-references",
            paramLabel = "FILE.yaml",
            description =
                    "writes places for muscle, myometrium and urine, for a reader to look at, to confirm in the file"
                            + " and to give to measure by --references")
    private Optional<Path> references = Optional.empty();

    @Mixin
    private SettingsOptions settings;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        WritablePlace.requireForFile(out);
        if (references.isPresent()) WritablePlace.requireForFile(references.get());
        OutlineRequest request =
                new OutlineRequest(study, rough, roi, settings.read().outline());
        try (Workers workers = common.workers()) {
            OutlineRecipe.Result result = OutlineRecipe.run(request, workers, common.progress("refining"));
            Mask mask = result.refined().mask();
            StringBuilder text = new StringBuilder();
            result.decisions().forEach(decision -> text.append(decision).append('\n'));
            if (truth.isPresent()) {
                line(text, "drawn", OutlineRecipe.agreement(result, result.filled(), truth.get(), truthRoi, workers));
                line(text, "refined", OutlineRecipe.agreement(result, mask, truth.get(), truthRoi, workers));
            }
            Optional<ReferencesFile.Draft> draft = Optional.empty();
            if (references.isPresent())
                draft = Optional.of(ReferencesFile.propose(result.outline(), mask, references.get(), workers));
            draft.ifPresent(d -> d.said().forEach(line -> text.append(line).append('\n')));
            RegionFile.write(
                    out,
                    form.orElse(RegionFile.Form.of(out)),
                    mask,
                    study,
                    result.outline().series(),
                    result.outline().name(),
                    workers);
            if (draft.isPresent())
                Files.writeString(references.get(), draft.get().text());
            System.out.print(text);
        }
        System.out.println(out);
        return 0;
    }

    private static void line(StringBuilder text, String what, OutlineAgreement.Agreement agreement) {
        text.append(String.format(
                Locale.ROOT,
                "%s: Dice %s, 95 %% Hausdorff distance %s mm, mean surface distance %s mm%n",
                what,
                number(agreement.dice(), "%.4f"),
                number(agreement.hausdorff95(), "%.2f"),
                number(agreement.meanSurfaceDistance(), "%.2f")));
    }

    private static String number(Measurement value, String format) {
        return value.number().isPresent()
                ? String.format(Locale.ROOT, format, value.number().getAsDouble())
                : "not measured (" + value.reason() + ")";
    }
}
