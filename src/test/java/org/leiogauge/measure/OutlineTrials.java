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
 * The sloppy reader's outline of each preset, filled in and refined, against the true region; and the same images and
 * regions as files, so that other programs can be tried on just the same.
 *
 * @param folder for studies and files
 */
record OutlineTrials(Path folder, PhantomSettings.Matrix matrix) {
    static final List<Preset> PRESETS = List.of(
            Preset.ORDINARY,
            Preset.HYALINE,
            Preset.CYSTIC,
            Preset.MYXOID,
            Preset.RED,
            Preset.CELLULAR,
            Preset.SARCOMA,
            Preset.HARD_BENIGN,
            Preset.HARD_MALIGNANT);

    /** How far one method's region lies from the true one. */
    record Agreement(String method, double dice, double hausdorffMm) {
        @Override
        public String toString() {
            return String.format(Locale.ROOT, "%.3f / %.1f", dice, hausdorffMm);
        }
    }

    String name(Preset preset) {
        return matrix.name().toLowerCase(Locale.ROOT) + "-" + preset.key();
    }

    /** Writes the study unless it is there from a run before. */
    Path study(Preset preset, Workers workers) throws InputException, IOException {
        Path study = folder.resolve(name(preset));
        if (!Files.exists(study.resolve("masks")))
            Phantom.write(preset.settings().withMatrix(matrix), study, workers, Progress.NONE);
        return study;
    }

    /** As drawn, then by each method. */
    List<Agreement> run(Preset preset, Workers workers) throws InputException, IOException {
        Path here = study(preset, workers);
        Study study = Study.open(here.resolve("dicom"), workers, Progress.NONE);
        Outline outline =
                OutlineFile.read(here.resolve("outline-sloppy.dcm"), Optional.empty(), study, workers, Progress.NONE);
        Mask truth = NiftiReader.readMask(here.resolve("masks/lesion.nii.gz"));
        List<String> decisions = new ArrayList<>();
        Mask filled = OutlineRecipe.filled(outline, decisions, workers);
        Rough rough = OutlineRecipe.rough(
                study, outline, filled, OutlineSettings.standard(), decisions, workers, Progress.NONE);
        files(rough, outline.mask(), truth, folder.resolve("files-" + name(preset)));
        List<Agreement> all = new ArrayList<>(List.of(agreement("as drawn", filled, truth, workers)));
        BorderRefinement.Settings standard = BorderRefinement.Settings.standard();
        for (BorderRefinement.Method method : BorderRefinement.Method.values()) {
            Refined refined = BorderRefinement.refine(
                    rough,
                    new BorderRefinement.Settings(
                            method, standard.moveMm(), standard.smoothMm(), standard.leastSeparation()),
                    workers,
                    Progress.NONE);
            all.add(agreement(
                    method.name().toLowerCase(Locale.ROOT).replace('_', ' '), refined.mask(), truth, workers));
        }
        return all;
    }

    private static void files(Rough rough, Mask drawn, Mask truth, Path files) throws IOException {
        Files.createDirectories(files);
        for (int c = 0; c < rough.channels().size(); c++)
            NiftiWriter.write(
                    files.resolve("channel-" + c + ".nii"), rough.channels().get(c));
        NiftiWriter.write(files.resolve("drawn.nii"), rough.mask());
        NiftiWriter.write(files.resolve("slices.nii"), drawn);
        NiftiWriter.write(files.resolve("truth.nii"), truth);
    }

    private static Agreement agreement(String method, Mask found, Mask truth, Workers workers) {
        OutlineAgreement.Agreement agreement = OutlineAgreement.between(found, truth, workers);
        return new Agreement(
                method,
                agreement.dice().number().orElseThrow(),
                agreement.hausdorff95().number().orElseThrow());
    }
}
