// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.io.IOException;
import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.nifti.NiftiReader;
import org.leiogauge.nifti.NiftiWriter;
import org.leiogauge.outline.BorderRefinement;
import org.leiogauge.outline.OutlineAgreement;
import org.leiogauge.outline.Refined;
import org.leiogauge.outline.Rough;
import org.leiogauge.phantom.Phantom;
import org.leiogauge.phantom.PhantomSettings;
import org.leiogauge.phantom.Preset;
import org.leiogauge.study.Outline;
import org.leiogauge.study.OutlineFile;
import org.leiogauge.study.Study;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The sloppy reader's outline of each preset, filled in and refined, against the true region, as a CSV table; and the same
 * images and regions as files, so that other programs can be tried on just the same.
 *
 * <p>Run {@code main} with a folder for studies and files, DEMO or FULL, and the number of threads.
 */
final class OutlineTrials {
    private static final List<Preset> PRESETS = List.of(
            Preset.ORDINARY,
            Preset.HYALINE,
            Preset.CYSTIC,
            Preset.MYXOID,
            Preset.RED,
            Preset.CELLULAR,
            Preset.SARCOMA,
            Preset.HARD_BENIGN,
            Preset.HARD_MALIGNANT);

    private OutlineTrials() {}

    public static void main(String[] wish) throws InputException, IOException {
        PhantomSettings.Matrix matrix = PhantomSettings.Matrix.valueOf(wish[1]);
        System.out.println("matrix,preset,method,dice,hd95_mm,surface_mm,seconds");
        try (Workers workers = Workers.of(Integer.parseInt(wish[2]))) {
            for (Preset preset : PRESETS) {
                String name = matrix.name().toLowerCase(Locale.ROOT) + "-" + preset.key();
                Path folder = Path.of(wish[0]).resolve(name);
                if (!Files.exists(folder.resolve("masks")))
                    Phantom.write(preset.settings().withMatrix(matrix), folder, workers, Progress.NONE);
                trial(matrix, preset, folder, Path.of(wish[0]).resolve("files-" + name), workers);
            }
        }
    }

    private static void trial(PhantomSettings.Matrix matrix, Preset preset, Path folder, Path files, Workers workers)
            throws InputException, IOException {
        Study study = Study.open(folder.resolve("dicom"), workers, Progress.NONE);
        Outline outline =
                OutlineFile.read(folder.resolve("outline-sloppy.dcm"), Optional.empty(), study, workers, Progress.NONE);
        Mask truth = NiftiReader.readMask(folder.resolve("masks/lesion.nii.gz"));
        List<String> decisions = new ArrayList<>();
        Mask filled = OutlineRecipe.filled(outline, decisions, workers);
        Rough rough = OutlineRecipe.rough(
                study, outline, filled, OutlineSettings.standard(), decisions, workers, Progress.NONE);
        Files.createDirectories(files);
        for (int c = 0; c < rough.channels().size(); c++)
            NiftiWriter.write(
                    files.resolve("channel-" + c + ".nii"), rough.channels().get(c));
        NiftiWriter.write(files.resolve("drawn.nii"), filled);
        NiftiWriter.write(files.resolve("slices.nii"), outline.mask());
        NiftiWriter.write(files.resolve("truth.nii"), truth);
        row(matrix, preset, "as drawn", filled, truth, 0, workers);
        for (BorderRefinement.Method method : BorderRefinement.Method.values()) {
            BorderRefinement.Settings standard = BorderRefinement.Settings.standard();
            long start = System.nanoTime();
            Refined refined = BorderRefinement.refine(
                    rough,
                    new BorderRefinement.Settings(
                            method, standard.moveMm(), standard.smoothMm(), standard.leastSeparation()),
                    workers,
                    Progress.NONE);
            double seconds = (System.nanoTime() - start) / 1e9;
            row(matrix, preset, method.name(), refined.mask(), truth, seconds, workers);
        }
    }

    private static void row(
            PhantomSettings.Matrix matrix,
            Preset preset,
            String method,
            Mask found,
            Mask truth,
            double seconds,
            Workers workers) {
        OutlineAgreement.Agreement agreement = OutlineAgreement.between(found, truth, workers);
        System.out.printf(
                Locale.ROOT,
                "%s,%s,%s,%.4f,%.2f,%.2f,%.2f%n",
                matrix,
                preset.key(),
                method.toLowerCase(Locale.ROOT).replace('_', ' '),
                agreement.dice().number().orElseThrow(),
                agreement.hausdorff95().number().orElseThrow(),
                agreement.meanSurfaceDistance().number().orElseThrow(),
                seconds);
    }
}
