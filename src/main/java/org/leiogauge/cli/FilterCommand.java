// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.nio.file.Path;
import java.util.concurrent.Callable;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.FilteredImage;
import org.leiogauge.measure.SettingsFile;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "filter",
        mixinStandardHelpOptions = true,
        description = {
            "Filters an image by one of the published standard's convolutional filters.",
            "Kinds: mean, log, laws, gabor, wavelet, simoncelli, riesz; keys of each: docs/filters.md."
        },
        footer = {
            "",
            "Example:",
            "  leiogauge filter t2.nii.gz --set 'filter={kind: log, sigma: 3, dimensions: 2}' --out log.nii.gz"
        })
final class FilterCommand implements Callable<Integer> {
    @Parameters(paramLabel = "IMAGE", description = "NIfTI file, or folder with one DICOM series")
    private Path image;

    @Option(
            names = "--out",
            paramLabel = "IMAGE",
            required = true,
            description = "NIfTI file for the response map, 32-bit float")
    private Path out;

    @Mixin
    private SettingsOptions options;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        if (!NiftiReader.isNamedSo(out))
            throw new InputException("--out", "", out.toString(), "a name in .nii or .nii.gz");
        WritablePlace.requireForFile(out);
        SettingsFile.OfImage settings = options.readOfImage();
        Volume response;
        try (Workers workers = common.workers()) {
            response = FilteredImage.of(image, settings, workers, common.progress("filtering"));
        }
        NiftiWriter.write(out, response);
        return 0;
    }
}
