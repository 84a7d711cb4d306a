// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The standard's features of the lesion on one series.
 *
 * @param volume the one of the series' volumes that was measured
 * @param decisions what was decided for the reader
 */
record SeriesMeasurement(PlacedSeries placed, Volume volume, List<FeatureValue> features, List<String> decisions) {

    /** @throws InputException if a voxel of the region has no finite value, or the settings do not suit the series */
    static SeriesMeasurement of(PlacedSeries placed, Settings settings, Workers workers, Progress progress)
            throws InputException {
        List<String> decisions = new ArrayList<>(placed.decisions());
        Volume volume =
                frame(placed.series(), placed.content().frames(), decisions).volume();
        return new SeriesMeasurement(
                placed,
                volume,
                ImageAndMask.features(
                        placed.series().label(), volume, placed.mask(), settings.features(), workers, progress),
                decisions);
    }

    String key() {
        return placed.key();
    }

    Optional<Role> role() {
        return placed.role();
    }

    Mask mask() {
        return placed.mask();
    }

    // Of several volumes: the highest b-value, or the last time point.
    private static Frame frame(Series series, List<Frame> frames, List<String> decisions) {
        Frame last = frames.stream()
                .max(Comparator.comparingDouble((Frame f) -> f.bValue().orElse(0))
                        .thenComparingDouble(f -> f.seconds().orElse(0)))
                .orElseThrow();
        if (frames.size() > 1)
            decisions.add(series.label() + ": for the standard's features, of " + frames.size()
                    + " volumes the one with "
                    + (last.bValue().isPresent()
                            ? "b = " + last.bValue().getAsDouble() + " s/mm²"
                            : "time " + last.seconds().orElse(0) + " s")
                    + " was measured");
        return last;
    }
}
