// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.leiogauge.image.Volume;
import org.leiogauge.measure.AdcMap;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.scijava.ItemIO;
import org.scijava.command.Command;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Fits an ADC map to diffusion-weighted images. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: ADC map",
        menuPath = "Plugins>Leiogauge>ADC Map of Files...",
        headless = true)
public final class MapAdc extends Job {
    static final String STANDARD_METHOD = "weighted log-linear";

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Diffusion-weighted images",
            description = "DICOM folders or files, or NIfTI files")
    private File[] images;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "b-values (s/mm²), for NIfTI",
            required = false,
            description = "as 0,400,1000; without, from the .bval files beside the images")
    private String bValues;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Fit",
            choices = {"log-linear", STANDARD_METHOD, "non-linear"})
    private String method = STANDARD_METHOD;

    @Parameter(persist = false, autoFill = false, label = "Lowest b-value used (s/mm²)", min = "0")
    private double lowestB;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Noise (standard deviation, image's unit)",
            min = "0",
            description = "0: not undone")
    private double noise;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "File for the map",
            style = "save",
            required = false,
            description = ".nii or .nii.gz")
    private File out;

    @Parameter(type = ItemIO.OUTPUT, label = "ADC (10⁻³ mm²/s)")
    private Volume adc;

    @Parameter(type = ItemIO.OUTPUT, label = "Voxels not fitted")
    private int notFitted;

    @Parameter(type = ItemIO.OUTPUT, label = "Decisions")
    private String decisions;

    public MapAdc() {
        super("fitting");
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        if (path(out).isPresent() && !NiftiReader.isNamedSo(out.toPath()))
            throw new InputException("File for the map", "", out.toString(), "a name in .nii or .nii.gz");
        AdcMap.Result result = AdcMap.fit(
                Arrays.stream(images).map(File::toPath).toList(),
                numbers(text(bValues).orElse("")),
                settings(method, lowestB, noise),
                workers,
                progress);
        if (path(out).isPresent()) NiftiWriter.write(out.toPath(), result.map());
        adc = result.map();
        notFitted = result.notFitted();
        decisions = result.decisions().stream().collect(Collectors.joining("\n"));
    }

    /** A fit as a user words it. */
    static AdcFit.Settings settings(String method, double lowestB, double noise) throws InputException {
        AdcFit.Settings standard = AdcFit.Settings.standard();
        String name = method.toUpperCase(Locale.ROOT).replace('-', '_').replace(' ', '_');
        if (Arrays.stream(AdcFit.Method.values())
                .noneMatch(known -> known.name().equals(name)))
            throw new InputException("Fit", "", method, "log-linear, weighted log-linear or non-linear");
        try {
            return new AdcFit.Settings(
                    AdcFit.Method.valueOf(name), lowestB, standard.highestB(), noise, standard.floor());
        } catch (IllegalArgumentException e) {
            throw InputException.refused("Fit", "", e);
        }
    }

    /** Numbers of 0 or more between commas; none for an empty text. */
    static List<Double> numbers(String text) throws InputException {
        List<Double> numbers = new ArrayList<>();
        if (text.isBlank()) return numbers;
        for (String part : text.trim().split("\\s*[,;]\\s*|\\s+")) {
            double number = number(part);
            if (!(number >= 0 && number < Double.POSITIVE_INFINITY))
                throw new InputException("b-values", "", part, "numbers of 0 or more, as 0,400,1000");
            numbers.add(number);
        }
        return numbers;
    }

    private static double number(String part) {
        try {
            return Double.parseDouble(part);
        } catch (NumberFormatException e) {
            return -1;
        }
    }
}
