// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.ReferenceProposal;
import org.leiogauge.outline.ReferenceProposal.Proposal;
import org.leiogauge.outline.ReferenceProposal.Proposed;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Proposed reference regions of the synthetic studies against the tissue that truly lies there, as a CSV table.
 *
 * <p>Run {@code main} with DEMO or FULL, the number of seeds per preset and of threads.
 */
final class ReferenceTrials {
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
    private static final double STEP_MM = 1;

    private final Anatomy anatomy;
    private final Movement movement;
    private final Volume t2;
    private final Mask lesion;

    private ReferenceTrials(PhantomSettings settings, Workers workers) {
        SeriesSettings series = settings.t2();
        PhantomSettings one = settings.with(settings.scanner(), List.of(series));
        anatomy = Anatomy.of(one, workers);
        movement = Movement.of(series);
        t2 = StudyImages.render(one, anatomy, 0, workers, Progress.NONE)
                .images()
                .get(0);
        lesion = TissueMasks.of(anatomy.lesions().get(0), t2.grid(), movement, workers)
                .lesion();
    }

    static ReferenceTrials of(Preset preset, PhantomSettings.Matrix matrix, int trial, Workers workers) {
        return new ReferenceTrials(preset.settings().withSeed(2000 + trial).withMatrix(matrix), workers);
    }

    Map<ReferenceProposal.Tissue, Proposal> propose(Workers workers) {
        return ReferenceProposal.propose(t2, lesion, ReferenceProposal.Settings.standard(), workers);
    }

    /** Share of a proposed ball that is the tissue it was proposed for, from a lattice of 1 mm. */
    double right(ReferenceProposal.Tissue tissue, Proposed ball) {
        Tissue wanted = Tissue.valueOf(tissue.name());
        int n = (int) Math.floor(ball.radiusMm() / STEP_MM);
        int all = 0;
        int right = 0;
        for (int k = -n; k <= n; k++)
            for (int j = -n; j <= n; j++)
                for (int i = -n; i <= n; i++) {
                    Vector step = new Vector(i, j, k).times(STEP_MM);
                    if (step.length() > ball.radiusMm()) continue;
                    all++;
                    if (tissueAt(ball.centre().plus(step)) == wanted) right++;
                }
        return (double) right / all;
    }

    /** As {@link Mixture} has it, with sharp borders. */
    Tissue tissueAt(Point shown) {
        Point p = movement.back(shown);
        byte tissue = anatomy.tissueAt(p.x(), p.y(), p.z());
        double[] look = new double[2];
        for (Lesion one : anatomy.lesions()) {
            Vector r = p.minus(one.centre());
            double depth = one.depth(r.x(), r.y(), r.z(), look);
            if (depth >= 0) return Tissue.of(one.tissueAt(r.x(), r.y(), r.z(), look));
            if (depth > -Lesion.COVER_MM && Anatomy.givesWay(tissue)) tissue = (byte) Tissue.MYOMETRIUM.ordinal();
        }
        return Tissue.of(tissue);
    }

    public static void main(String[] wish) {
        PhantomSettings.Matrix matrix = PhantomSettings.Matrix.valueOf(wish[0]);
        int seeds = Integer.parseInt(wish[1]);
        System.out.println("preset,tissue,right,confidence,truth_at_centre,x,y,z");
        try (Workers workers = Workers.of(Integer.parseInt(wish[2]))) {
            for (Preset preset : PRESETS)
                for (int trial = 0; trial < seeds; trial++) {
                    ReferenceTrials one = of(preset, matrix, trial, workers);
                    one.propose(workers).forEach((tissue, proposal) -> one.print(preset, tissue, proposal));
                }
        }
    }

    private void print(Preset preset, ReferenceProposal.Tissue tissue, Proposal proposal) {
        String key = tissue.name().toLowerCase(Locale.ROOT);
        if (proposal instanceof Proposed ball)
            System.out.printf(
                    Locale.ROOT,
                    "%s,%s,%.3f,%.2f,%s,%.0f,%.0f,%.0f%n",
                    preset.key(),
                    key,
                    right(tissue, ball),
                    ball.confidence(),
                    tissueAt(ball.centre()).name().toLowerCase(Locale.ROOT),
                    ball.centre().x(),
                    ball.centre().y(),
                    ball.centre().z());
        else System.out.printf("%s,%s,,,,,,%n", preset.key(), key);
    }
}
