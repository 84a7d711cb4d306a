// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import java.util.Optional;
import org.leiogauge.feature.Settings;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The lesion on one series: its voxels, the region carried onto its grid, and the standard's features there.
 *
 * @param role what the series is used for; none for the outline's own series where it has no role
 * @param decisions what was decided for the reader
 */
record SeriesMeasurement(
        Optional<Role> role,
        Series series,
        Volume volume,
        Mask mask,
        List<FeatureValue> features,
        List<String> decisions) {
    private static final double SAME_PLACE_MM = 1e-3;

    /** The series' name in the table. */
    String key() {
        return role.map(Role::key).orElse("outlined");
    }

    /**
     * Measures one series.
     *
     * @return none if the region does not lie inside the series' volume; the reason is added to {@code passedOver}
     * @throws InputException if its files are not usable
     */
    static Optional<SeriesMeasurement> of(
            Series series,
            Outline outline,
            Settings settings,
            List<String> passedOver,
            Workers workers,
            Progress progress)
            throws InputException {
        boolean own = series.id().equals(outline.series().id());
        Series.Content content = own ? outline.content() : series.read(workers, progress.part(0, 0.4));
        List<String> decisions = new ArrayList<>(content.decisions());
        Frame frame = frame(series, content.frames(), decisions);
        Grid grid = frame.volume().grid();
        Optional<String> reason = own ? Optional.empty() : misplaced(series, outline, grid);
        if (reason.isPresent()) {
            passedOver.add(series.label() + " is not measured: " + reason.get());
            return Optional.empty();
        }
        Mask mask = carried(outline, grid, workers);
        if (mask.isEmpty()) {
            passedOver.add(series.label() + " is not measured: no voxel of it has its centre in the lesion");
            return Optional.empty();
        }
        if (!own)
            decisions.add(series.label() + ": the outline was carried over by patient coordinates alone, "
                    + mask.count() + " voxels");
        return Optional.of(new SeriesMeasurement(
                series.role(),
                series,
                frame.volume(),
                mask,
                ImageAndMask.features(series.label(), frame.volume(), mask, settings, workers, progress.part(0.4, 1)),
                decisions));
    }

    // Of several volumes: the highest b-value, or the last time point.
    private static Frame frame(Series series, List<Frame> frames, List<String> decisions) {
        Frame last = frames.stream()
                .max(Comparator.comparingDouble((Frame f) -> f.bValue().orElse(0))
                        .thenComparingDouble(f -> f.seconds().orElse(0)))
                .orElseThrow();
        if (frames.size() > 1)
            decisions.add(series.label() + ": of " + frames.size() + " volumes the one with "
                    + (last.bValue().isPresent()
                            ? "b = " + last.bValue().getAsDouble() + " s/mm²"
                            : "time " + last.seconds().orElse(0) + " s")
                    + " was measured");
        return last;
    }

    private static Mask carried(Outline outline, Grid grid, Workers workers) {
        return outline.mask().grid().coincides(grid, SAME_PLACE_MM)
                ? new Mask(grid, outline.mask().voxels())
                : Resampling.onto(outline.mask(), grid, Resampling.Kernel.LINEAR, workers, Progress.NONE);
    }

    private static Optional<String> misplaced(Series series, Outline outline, Grid grid) {
        if (!series.frameOfReference().equals(outline.series().frameOfReference()))
            return Optional.of("its frame of reference is not that of the outline's series");
        Mask mask = outline.mask();
        Size size = mask.grid().size();
        for (int z = 0; z < size.z(); z++)
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++)
                    if (mask.has(x, y, z) && isOutside(grid, mask.grid(), x, y, z))
                        return Optional.of("the lesion reaches outside its volume");
        return Optional.empty();
    }

    // By up to a voxel a lesion may stick out: it is the other grid's voxel that ends there.
    private static boolean isOutside(Grid grid, Grid from, int x, int y, int z) {
        Index i = grid.index(from.point(x, y, z));
        Size size = grid.size();
        return i.x() < -1.5
                || i.y() < -1.5
                || i.z() < -1.5
                || i.x() > size.x() + 0.5
                || i.y() > size.y() + 0.5
                || i.z() > size.z() + 0.5;
    }
}
