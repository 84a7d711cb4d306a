// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.EnumMap;
import java.util.List;
import java.util.Map;
import java.util.NoSuchElementException;
import org.leiogauge.image.Point;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/** Lesions and settings whose truth can be worked out by hand. */
final class PlainScene {
    private PlainScene() {}

    static LesionSettings ellipsoid(double a, double b, double c, Compartment... compartments) {
        return new LesionSettings(
                "L1",
                new Point(3, -5, 9),
                new Vector(a, b, c),
                0,
                Tissue.LEIOMYOMA,
                Map.of(),
                Bumps.NONE,
                Bumps.NONE,
                0,
                List.of(compartments));
    }

    static Lesion lesion(LesionSettings settings) {
        return new Lesion(settings, new Seed(1), 1000, Workers.SINGLE);
    }

    /** The demo's study with these tissues in place of its own. */
    static PhantomSettings with(Map<Tissue, TissueProperties> tissues) {
        Map<Tissue, TissueProperties> all = new EnumMap<>(TissueProperties.standard());
        all.putAll(tissues);
        return Preset.DEMO.settings().withTissues(all);
    }

    /** A tissue without texture, whose concentration of contrast agent is the same from soon after the injection on. */
    static TissueProperties tissue(double t1, double t2, double adc, double peakMm) {
        return new TissueProperties(t1, t2, t2 / 2, 1, adc, 0, peakMm, 0, 0.1, 0, 0, 0, 0);
    }

    /** The value of a row. */
    static double value(List<TruthRow> rows, String feature, String aggregation) {
        return rows.stream()
                .filter(row ->
                        row.feature().equals(feature) && row.aggregation().equals(aggregation))
                .findFirst()
                .orElseThrow(() -> new NoSuchElementException(feature + " " + aggregation))
                .measurement()
                .number()
                .orElseThrow();
    }

    static double value(List<TruthRow> rows, String feature) {
        return value(rows, feature, "");
    }
}
