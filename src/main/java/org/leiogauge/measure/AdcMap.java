// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.stream.IntStream;
import org.leiogauge.dicom.DicomFolder;
import org.leiogauge.dicom.DicomSeries;
import org.leiogauge.dicom.Tag;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Volume;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.signal.AdcFit;
import org.leiogauge.signal.AdcFit.Weighted;
import org.leiogauge.task.Counted;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/** An ADC map from files of diffusion-weighted images. */
public final class AdcMap {
    // Images of one acquisition: what remains is the rounding of headers.
    private static final double SAME_PLACE_MM = 0.01;

    private AdcMap() {}

    /**
     * @param map in 10⁻³ mm²/s, NaN where it was not fitted
     * @param bValues of the images used, ascending, in s/mm²
     * @param notFitted number of voxels without a value
     * @param decisions what was decided or passed over in reading
     */
    public record Result(Volume map, List<Double> bValues, int notFitted, List<String> decisions) {
        public Result {
            bValues = List.copyOf(bValues);
            decisions = List.copyOf(decisions);
        }
    }

    /**
     * @param images DICOM folders or files, or NIfTI files, not mixed
     * @param bValues of the volumes of NIfTI files in their order, in s/mm²; empty: from the files beside them
     * @throws InputException if a file is not usable, images do not lie on one grid and in one frame of reference, or
     *     fewer than two different b-values are left
     */
    public static Result fit(
            List<Path> images, List<Double> bValues, AdcFit.Settings settings, Workers workers, Progress progress)
            throws InputException {
        Images read = read(images, bValues, workers, progress.part(0, 0.7));
        Result result = fit(images.get(0), read.series(), settings, read.decisions(), workers);
        progress.at(1);
        return result;
    }

    /**
     * Diffusion-weighted images as they were read.
     *
     * @param decisions what was decided or passed over in reading
     */
    public record Images(List<Weighted> series, List<String> decisions) {
        public Images {
            series = List.copyOf(series);
            decisions = List.copyOf(decisions);
        }
    }

    /** The images of {@link #fit(List, List, AdcFit.Settings, Workers, Progress)} alone. */
    public static Images read(List<Path> images, List<Double> bValues, Workers workers, Progress progress)
            throws InputException {
        if (images.isEmpty()) throw new InputException("images", "", "none", "diffusion-weighted images");
        List<String> decisions = new ArrayList<>();
        long nifti = images.stream().filter(NiftiReader::isNamedSo).count();
        if (nifti > 0 && nifti < images.size())
            throw new InputException(
                    images.get(0), "", "NIfTI and other files together", "DICOM files and folders, or NIfTI files");
        List<Weighted> series =
                nifti > 0 ? nifti(images, bValues, decisions) : dicom(images, bValues, decisions, workers, progress);
        return new Images(series, decisions);
    }

    /**
     * A map from images that are open already.
     *
     * @param source what they come from, as the user knows it
     * @throws InputException if fewer than two different b-values are left
     */
    public static Result fit(
            Object source, List<Weighted> series, AdcFit.Settings settings, List<String> decisions, Workers workers)
            throws InputException {
        requireTwo(source, series, settings);
        AdcFit.Fit fit = AdcFit.fit(series, settings, workers);
        int notFitted = 0;
        for (float adc : fit.adc().voxels()) if (Float.isNaN(adc)) notFitted++;
        return new Result(fit.adc(), fit.bValues(), notFitted, decisions);
    }

    private static void requireTwo(Object source, List<Weighted> series, AdcFit.Settings settings)
            throws InputException {
        List<Double> used = series.stream()
                .map(Weighted::bValue)
                .filter(b -> b >= settings.lowestB() && b <= settings.highestB())
                .distinct()
                .sorted()
                .toList();
        if (used.size() < 2)
            throw new InputException(
                    source,
                    "b-values",
                    used.isEmpty() ? "none in the range to be used" : "only " + used.get(0) + " s/mm2",
                    "two or more that differ");
    }

    private static List<Weighted> nifti(List<Path> files, List<Double> given, List<String> decisions)
            throws InputException {
        List<Volume> volumes = new ArrayList<>();
        List<Double> bValues = new ArrayList<>(given);
        for (Path file : files) {
            NiftiReader.Content content = NiftiReader.readAll(file);
            decisions.addAll(content.decisions());
            if (given.isEmpty())
                bValues.addAll(BValueFile.beside(file, content.volumes().size()));
            volumes.addAll(content.volumes());
            requireSameGrid(
                    file, volumes.get(0).grid(), content.volumes().get(0).grid());
        }
        if (bValues.size() != volumes.size())
            throw new InputException(
                    files.get(0), "b-values", given.size() + " given", "one per volume, " + volumes.size());
        return IntStream.range(0, volumes.size())
                .mapToObj(i -> new Weighted(bValues.get(i), volumes.get(i)))
                .toList();
    }

    private static List<Weighted> dicom(
            List<Path> images, List<Double> given, List<String> decisions, Workers workers, Progress progress)
            throws InputException {
        if (!given.isEmpty())
            throw new InputException(
                    images.get(0), "b-values", "given for DICOM images", "those that the images state");
        List<DicomSeries> found = new ArrayList<>();
        List<Path> files = new ArrayList<>();
        for (Path path : images) {
            if (Files.isDirectory(path)) {
                DicomFolder.Content content = DicomFolder.content(path, workers, Progress.NONE);
                found.addAll(content.series());
                decisions.addAll(content.decisions());
            } else if (Files.isRegularFile(path)) files.add(path);
            else throw new InputException(path, "", "no such file or folder", "diffusion-weighted images");
        }
        if (!files.isEmpty()) found.addAll(DicomFolder.scan(files, workers, Progress.NONE));
        List<Weighted> series = new ArrayList<>();
        String frame = "";
        for (int i = 0; i < found.size(); i++) {
            DicomSeries one = found.get(i);
            boolean isMap = one.texts(Tag.IMAGE_TYPE).contains("ADC");
            if (isMap || one.bValues().isEmpty()) {
                decisions.add(one.label() + (isMap ? " is an ADC map" : " states no b-value") + ": passed over");
                continue;
            }
            if (!frame.isEmpty()
                    && !one.frameOfReference().isEmpty()
                    && !one.frameOfReference().equals(frame))
                throw new InputException(
                        one.label(),
                        Tag.text(Tag.FRAME_OF_REFERENCE_UID),
                        one.frameOfReference(),
                        frame + ", as before");
            frame = one.frameOfReference();
            DicomSeries.Content content =
                    one.read(workers, progress.part((double) i / found.size(), (i + 1.0) / found.size()));
            decisions.addAll(content.decisions());
            add(one, content, series, decisions);
        }
        if (series.isEmpty())
            throw new InputException(
                    images.get(0), "b-values", "no image that states one", "diffusion-weighted images with b-values");
        return series;
    }

    private static void add(DicomSeries series, DicomSeries.Content content, List<Weighted> all, List<String> decisions)
            throws InputException {
        int without = 0;
        for (DicomSeries.Stack stack : content.stacks()) {
            if (stack.bValue().isEmpty()) {
                without++;
                continue;
            }
            if (!all.isEmpty())
                requireSameGrid(
                        series.label(),
                        all.get(0).image().grid(),
                        stack.volume().grid());
            all.add(new Weighted(stack.bValue().getAsDouble(), stack.volume()));
        }
        if (without > 0)
            decisions.add(series.label() + ": passed over " + Counted.of(without, "volume") + " without a b-value");
    }

    private static void requireSameGrid(Object source, Grid first, Grid grid) throws InputException {
        if (!grid.coincides(first, SAME_PLACE_MM))
            throw new InputException(source, "grid", grid.toString(), first + ", as before");
    }
}
