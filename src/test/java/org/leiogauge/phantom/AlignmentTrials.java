// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import java.util.Locale;
import org.leiogauge.align.Alignment;
import org.leiogauge.align.Correspondence;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Seeded trials of the registration over all presets, as a CSV table: error inside the lesion before and after, and what
 * the registration itself says of it.
 *
 * <p>Run {@code main} with DYNAMIC or DWI, DEMO or FULL, the number of trials and of threads.
 */
final class AlignmentTrials {
    private static final List<Preset> PRESETS = List.of(
            Preset.DEMO,
            Preset.ORDINARY,
            Preset.HYALINE,
            Preset.CYSTIC,
            Preset.MYXOID,
            Preset.RED,
            Preset.CELLULAR,
            Preset.SARCOMA,
            Preset.HARD_BENIGN,
            Preset.HARD_MALIGNANT);

    private AlignmentTrials() {}

    public static void main(String[] wish) {
        SeriesSettings.Kind kind = SeriesSettings.Kind.valueOf(wish[0]);
        PhantomSettings.Matrix matrix = PhantomSettings.Matrix.valueOf(wish[1]);
        int met = 0;
        int silent = 0;
        int trials = Integer.parseInt(wish[2]);
        System.out.println("trial,preset,before_mm,after_mm,residual_mm,limit_mm,outcome");
        try (Workers workers = Workers.of(Integer.parseInt(wish[3]))) {
            for (int trial = 0; trial < trials; trial++) {
                Preset preset = PRESETS.get(trial % PRESETS.size());
                MovedStudy study = MovedStudy.of(preset, matrix, kind, trial, workers);
                boolean bends = kind == SeriesSettings.Kind.DWI;
                double limit = bends ? study.other().grid().spacing().x() / 2 : 1;
                Alignment.Model model = bends
                        ? new Alignment.Model.EchoPlanar(
                                study.other().grid().direction().y())
                        : new Alignment.Model.Rigid();
                Alignment.Result result = Alignment.align(
                        study.t2(),
                        study.other(),
                        study.lesion(),
                        Alignment.Settings.standard(model),
                        workers,
                        Progress.NONE);
                double error = study.error(result.correspondence());
                if (error <= limit) met++;
                else if (!(result.residualMm().number().orElse(Double.POSITIVE_INFINITY) > limit)) silent++;
                System.out.printf(
                        Locale.ROOT,
                        "%d,%s,%.2f,%.2f,%s,%.2f,%s%n",
                        trial,
                        preset.key(),
                        study.error(Correspondence.identity(study.places().get(0))),
                        error,
                        result.residualMm().number().isPresent()
                                ? String.format(
                                        Locale.ROOT,
                                        "%.2f",
                                        result.residualMm().number().getAsDouble())
                                : "",
                        limit,
                        result.outcome());
            }
        }
        System.out.printf(Locale.ROOT, "# %d of %d within the limit, %d beyond it unsaid%n", met, trials, silent);
    }
}
