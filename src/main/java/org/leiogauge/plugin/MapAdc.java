// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.plugin;

import java.io.File;
import java.io.IOException;
import java.util.Arrays;
import java.util.List;
import java.util.Locale;
import java.util.stream.Collectors;
import org.leiogauge.image.Box;
import org.leiogauge.image.Size;
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
import org.scijava.command.Previewable;
import org.scijava.plugin.Parameter;
import org.scijava.plugin.Plugin;

/** Fits an ADC map to diffusion-weighted images. */
@Plugin(
        type = Command.class,
        name = "Leiogauge: ADC map",
        menuPath = "Plugins>Leiogauge>ADC Map of Files...",
        headless = true)
public final class MapAdc extends Job implements Previewable {
    @Parameter(
            persist = false,
            autoFill = false,
            label = "Images (diffusion-weighted)",
            description = "DICOM folders or files, or NIfTI files")
    private File[] images;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "B-values (s/mm², for NIfTI)",
            required = false,
            description = "as 0,400,1000; without, from the .bval files beside the images")
    private String bValues;

    @Parameter(
            persist = false,
            autoFill = false,
            label = "Fit",
            choices = {"log-linear", AdcWish.STANDARD_METHOD, "non-linear"})
    private String method = AdcWish.STANDARD_METHOD;

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
            label = "Save as",
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

    private final Kept<Source, AdcMap.Images> kept = new Kept<>();

    private record Source(List<File> files, List<Double> bValues) {}

    public MapAdc() {
        super("fitting");
    }

    @Override
    public void preview() {
        foresee(workers -> {
            AdcWish wish = AdcWish.of(text(bValues).orElse(""), method, lowestB, noise);
            List<AdcFit.Weighted> series = read(wish, workers).series();
            Size size = series.get(0).image().grid().size();
            int middle = size.z() / 2;
            Box slice = new Box(0, 0, middle, size.x() - 1, size.y() - 1, middle);
            AdcMap.Result result = AdcMap.fit(
                    images[0],
                    series.stream()
                            .map(one -> new AdcFit.Weighted(
                                    one.bValue(), one.image().crop(slice)))
                            .toList(),
                    wish.settings(),
                    List.of(),
                    workers);
            adc = result.map();
            notFitted = result.notFitted();
            return String.format(
                    Locale.ROOT,
                    "slice %d of %d: %d of %d voxels not fitted",
                    middle + 1,
                    size.z(),
                    notFitted,
                    slice.size().voxels());
        });
    }

    private AdcMap.Images read(AdcWish wish, Workers workers) throws InputException {
        List<File> files = images == null ? List.of() : List.of(images);
        return kept.of(
                new Source(files, wish.bValues()),
                () -> AdcMap.read(files.stream().map(File::toPath).toList(), wish.bValues(), workers, Progress.NONE));
    }

    @Override
    void work(Workers workers, Progress progress) throws InputException, IOException {
        if (path(out).isPresent() && !NiftiReader.isNamedSo(out.toPath()))
            throw new InputException("Save as", "", out.toString(), "a name in .nii or .nii.gz");
        AdcWish wish = AdcWish.of(text(bValues).orElse(""), method, lowestB, noise);
        AdcMap.Result result = AdcMap.fit(
                Arrays.stream(images).map(File::toPath).toList(), wish.bValues(), wish.settings(), workers, progress);
        if (path(out).isPresent()) NiftiWriter.write(out.toPath(), result.map());
        adc = result.map();
        notFitted = result.notFitted();
        decisions = result.decisions().stream().collect(Collectors.joining("\n"));
    }
}
