// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cli;

import java.io.IOException;
import java.io.PrintStream;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.TreeMap;
import java.util.concurrent.Callable;
import java.util.stream.Collectors;
import org.leiogauge.measure.AdcMap;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.task.InputException;
import org.leiogauge.task.OneLine;
import org.leiogauge.task.Workers;
import org.leiogauge.task.WritablePlace;
import picocli.CommandLine.Command;
import picocli.CommandLine.Mixin;
import picocli.CommandLine.Option;
import picocli.CommandLine.Parameters;

@Command(
        name = "adc",
        mixinStandardHelpOptions = true,
        description = "Fits the apparent diffusion coefficient, in 10-3.mm2/s, to diffusion-weighted images.",
        footer = {"", "Example:", "  leiogauge adc study/dwi --lowest-b 200 --out adc.nii.gz"})
final class AdcCommand implements Callable<Integer> {
    @Parameters(
            paramLabel = "DWI",
            arity = "1..*",
            description = "DICOM folders or files, or NIfTI files, each with its b-values in a .bval file beside it")
    private List<Path> images = new ArrayList<>();

    @Option(
            names = "--out",
            paramLabel = "IMAGE",
            required = true,
            description = "NIfTI file for the map; NaN where it was not fitted")
    private Path out;

    @Option(
            names = "--b-values",
            paramLabel = "B",
            split = ",",
            description = "b-values of the NIfTI volumes in their order, as 0,400,1000, in s/mm2")
    private List<Double> bValues = new ArrayList<>();

    @Option(
            names = "--method",
            paramLabel = "METHOD",
            description = "log-linear, weighted-log-linear or non-linear; without, weighted-log-linear",
            defaultValue = "weighted-log-linear")
    private String method;

    @Option(names = "--lowest-b", paramLabel = "B", description = "b-values below are not used", defaultValue = "0")
    private double lowestB;

    @Option(names = "--highest-b", paramLabel = "B", description = "b-values above are not used")
    private double highestB = Double.MAX_VALUE;

    @Option(
            names = "--noise",
            paramLabel = "SIGMA",
            description = "noise standard deviation of one image, to undo its floor; without, not undone",
            defaultValue = "0")
    private double noise;

    @Mixin
    private Common common;

    @Override
    public Integer call() throws InputException, IOException {
        AdcFit.Settings settings = settings();
        if (!NiftiReader.isNamedSo(out))
            throw new InputException("--out", "", out.toString(), "a name in .nii or .nii.gz");
        WritablePlace.requireForFile(out);
        for (double b : bValues)
            if (!(b >= 0 && b < Double.POSITIVE_INFINITY))
                throw new InputException("--b-values", "", Double.toString(b), "b-values of 0 or more");
        AdcMap.Result result;
        try (Workers workers = common.workers()) {
            result = AdcMap.fit(images, bValues, settings, workers, common.progress("fitting"));
        }
        NiftiWriter.write(out, result.map());
        print(System.out, result);
        return 0;
    }

    private AdcFit.Settings settings() throws InputException {
        if (!(noise >= 0 && noise < Double.POSITIVE_INFINITY))
            throw new InputException("--noise", "", Double.toString(noise), "0 or more");
        try {
            return new AdcFit.Settings(
                    AdcFit.Method.valueOf(method.toUpperCase(Locale.ROOT).replace('-', '_')),
                    lowestB,
                    highestB,
                    noise,
                    AdcFit.Settings.standard().floor());
        } catch (IllegalArgumentException e) {
            boolean known =
                    List.of("log-linear", "weighted-log-linear", "non-linear").contains(method);
            if (known) throw InputException.refused("--lowest-b, --highest-b", "", e);
            throw new InputException("--method", "", method, "log-linear, weighted-log-linear or non-linear");
        }
    }

    private void print(PrintStream to, AdcMap.Result result) {
        to.println("b-values: " + shown(result.bValues()) + " s/mm2");
        to.println("method: " + method + (noise > 0 ? ", noise floor undone at " + noise : ""));
        to.println("voxels: " + result.map().voxels().length + ", not fitted: " + result.notFitted());
        result.decisions().forEach(decision -> to.println(OneLine.of(decision)));
    }

    private static String shown(List<Double> values) {
        return values.stream()
                .collect(Collectors.groupingBy(b -> b, TreeMap::new, Collectors.counting()))
                .entrySet()
                .stream()
                .map(e -> plain(e.getKey()) + (e.getValue() > 1 ? " (" + e.getValue() + " images)" : ""))
                .collect(Collectors.joining(", "));
    }

    private static String plain(double value) {
        return value == Math.rint(value) ? Long.toString((long) value) : Double.toString(value);
    }
}
