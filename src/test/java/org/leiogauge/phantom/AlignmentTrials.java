// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.align.Alignment;
import org.leiogauge.align.Correspondence;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Seeded trials of the registration over all presets, as a CSV table: error inside the lesion before and after, and what
 * the registration itself says of it.
 *
 * <p>Run {@code main} with DYNAMIC or DWI, DEMO or FULL, the number of trials and of threads; with {@code FAULTS} behind
 * it, each trial has one of the {@link AlignmentFault}s in turns.
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

    /** What came of one trial. */
    record Trial(double before, double after, double limit, Alignment.Result result) {
        static Trial of(MovedStudy study, SeriesSettings.Kind kind, Workers workers) {
            boolean bends = kind == SeriesSettings.Kind.DWI;
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
            return new Trial(
                    study.error(Correspondence.identity(study.places().get(0))),
                    study.error(result.correspondence()),
                    bends ? study.other().grid().spacing().x() / 2 : 1,
                    result);
        }

        boolean isMet() {
            return after <= limit;
        }

        /** Beyond the limit, and the registration claims to be within it. */
        boolean isSilent() {
            return !isMet() && result.residualMm().number().orElse(Double.POSITIVE_INFINITY) <= limit;
        }
    }

    public static void main(String[] wish) {
        SeriesSettings.Kind kind = SeriesSettings.Kind.valueOf(wish[0]);
        PhantomSettings.Matrix matrix = PhantomSettings.Matrix.valueOf(wish[1]);
        boolean faulty = wish.length > 4 && wish[4].equals("FAULTS");
        int met = 0;
        int silent = 0;
        int trials = Integer.parseInt(wish[2]);
        System.out.println("trial,preset,before_mm,after_mm,residual_mm,limit_mm,outcome,fault");
        try (Workers workers = Workers.of(Integer.parseInt(wish[3]))) {
            for (int n = 0; n < trials; n++) {
                AlignmentFault[] faults = AlignmentFault.values();
                Optional<AlignmentFault> fault = faulty ? Optional.of(faults[n % faults.length]) : Optional.empty();
                Preset preset = PRESETS.get((faulty ? n / faults.length : n) % PRESETS.size());
                MovedStudy sound = MovedStudy.of(preset, matrix, kind, n, workers);
                MovedStudy study = fault.isPresent() ? fault.get().of(sound, n, workers) : sound;
                Trial trial = Trial.of(study, kind, workers);
                if (trial.isMet()) met++;
                if (trial.isSilent()) silent++;
                print(n, preset, trial, fault.map(AlignmentFault::words).orElse(""));
            }
        }
        System.out.printf(Locale.ROOT, "# %d of %d within the limit, %d beyond it unsaid%n", met, trials, silent);
    }

    private static void print(int n, Preset preset, Trial trial, String fault) {
        OptionalDouble residual = trial.result().residualMm().number();
        System.out.printf(
                Locale.ROOT,
                "%d,%s,%.2f,%.2f,%s,%.2f,%s,%s%n",
                n,
                preset.key(),
                trial.before(),
                trial.after(),
                residual.isPresent() ? String.format(Locale.ROOT, "%.2f", residual.getAsDouble()) : "",
                trial.limit(),
                trial.result().outcome(),
                fault);
    }
}
