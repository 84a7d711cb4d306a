// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.ArrayList;
import java.util.List;
import java.util.Locale;
import java.util.function.Predicate;

/** True shares of what a lesion is made of, by counting points that fill its sharp surface evenly. */
final class CompartmentTruth {
    /** Tissue with this T2 or more, in ms, is as bright as fluid. Source: evidence on degenerated leiomyoma, common practice. */
    static final double BRIGHT_T2_MS = 150;
    /** The shell begins at this share of the way from the centre to the surface. */
    static final double SHELL = 0.75;

    private CompartmentTruth() {}

    static List<TruthRow> of(Lesion lesion, SampledTissue sampled, PointLattice lattice, PhantomSettings settings) {
        List<TruthRow> rows = new ArrayList<>();
        for (Tissue tissue : tissues(lesion))
            rows.add(TruthRow.of(
                    "fraction of " + name(tissue),
                    sampled.fraction(t -> t == tissue),
                    "1",
                    "share of the lesion's volume"));
        Predicate<Tissue> isDead = t -> settings.of(t).peakMm() == 0;
        int points = lattice.largestPart(p -> isDead.test(sampled.tissue(p)));
        rows.add(TruthRow.of(
                "non-enhancing fraction", sampled.fraction(isDead), "1", "share of tissues with peak-mm 0"));
        rows.add(TruthRow.of(
                "largest non-enhancing pocket",
                points * lesion.truth().volume() / sampled.count(),
                "mm3",
                String.format(
                        Locale.ROOT, "parts hang together by faces on a lattice of %.3f mm", lesion.pointSpacing())));
        rows.add(TruthRow.of(
                "t2 bright fraction",
                sampled.fraction(t -> settings.of(t).t2Ms() >= BRIGHT_T2_MS),
                "1",
                "share of tissues with a T2 of 150 ms or more"));
        rows.add(TruthRow.of(
                "t1 bright fraction", sampled.fraction(t -> t == Tissue.HAEMORRHAGE), "1", "share of haemorrhage"));
        rows.add(
                TruthRow.of(
                        "t1 bright rim index",
                        rimIndex(lesion, sampled),
                        "1",
                        "share of haemorrhage in the outer 25 % of the way from the centre to the surface less that in the rest"));
        return rows;
    }

    /** What a lesion is made of, each once. */
    static List<Tissue> tissues(Lesion lesion) {
        List<Tissue> tissues = new ArrayList<>(List.of(lesion.settings().tissue()));
        lesion.settings().compartments().forEach(c -> tissues.add(c.tissue()));
        return tissues.stream().distinct().toList();
    }

    static String name(Tissue tissue) {
        return tissue.name().toLowerCase(Locale.ROOT).replace('_', '-');
    }

    private static double rimIndex(Lesion lesion, SampledTissue sampled) {
        int[] all = new int[2];
        int[] bright = new int[2];
        for (int p = 0; p < sampled.count(); p++) {
            int part = lesion.points().get(p)[3] > SHELL ? 1 : 0;
            all[part]++;
            if (sampled.tissue(p) == Tissue.HAEMORRHAGE) bright[part]++;
        }
        return bright[1] / (double) all[1] - bright[0] / (double) all[0];
    }
}
