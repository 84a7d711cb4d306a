// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.concurrent.Callable;
import org.leiogauge.measure.ImageAndMask;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.table.FeatureFile;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Model.CommandSpec;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;
import picocli.CommandLine.Spec;

@Command(
        name = "features",
        mixinStandardHelpOptions = true,
        description = "Measures the published standard's features of one image and mask.",
        footer = {"", "Example:", "  leiogauge features t2.nii.gz lesion.nii.gz --set features.discretise.bins=64"})
final class FeaturesCommand implements Callable<Integer> {
    @Parameters(
            paramLabel = "IMAGE",
            description = "NIfTI file, or DICOM folder: of several series the one that the mask is of")
    private Path image;

    @Parameters(paramLabel = "MASK", description = "NIfTI mask, RTSTRUCT or DICOM segmentation")
    private Path mask;

    @Option(names = "--roi", paramLabel = "NAME", description = "which region of the mask's file")
    private Optional<String> roi = Optional.empty();

    @Option(names = "--out", paramLabel = "FILE.csv", description = "file for the table; without, standard output")
    private Optional<Path> out = Optional.empty();

    @Mixin
    private SettingsOptions options;

    @Mixin
    private Common common;

    @Spec
    private CommandSpec spec;

    @Override
    public Integer call() throws InputException, IOException {
        if (out.isPresent()) WritablePlace.requireForFile(out.get());
        SettingsFile.OfImage settings = options.readOfImage();
        List<String> decisions = new ArrayList<>();
        List<FeatureValue> values;
        try (Workers workers = common.workers()) {
            values =
                    ImageAndMask.features(image, mask, roi, settings, decisions, workers, common.progress("measuring"));
        }
        // standard output may hold the table
        decisions.forEach(decision -> spec.commandLine().getErr().println(OneLine.of(decision)));
        if (out.isPresent()) FeatureFile.write(out.get(), values);
        else FeatureFile.write(System.out, values);
        return 0;
    }
}
