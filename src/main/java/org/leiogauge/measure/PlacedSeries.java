// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.measure;

import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.align.Alignment;
import org.leiogauge.align.Correspondence;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.study.Outline;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * A series of the study laid over the outline: its voxels, and where the lesion lies in them.
 *
 * @param role what it is used for; none for the outline's own series where it has no role
 * @param correspondence from the outline's patient space to the series' own
 * @param residualMm how far that may be off, root mean square over the lesion
 * @param mask the lesion on the series' grid; not empty
 * @param decisions what was decided for the reader
 */
record PlacedSeries(
        Optional<Role> role,
        Series series,
        Series.Content content,
        Correspondence correspondence,
        double residualMm,
        Mask mask,
        List<String> decisions) {
    // Room for what looks beyond the border, and for the draws that move it.
    private static final double ROOM_MM = 15;
    // What patient coordinates alone leave open where nothing says better: half a usual voxel.
    private static final double UNKNOWN_RESIDUAL_MM = 1;

    /** The series' name in the table. */
    String key() {
        return role.map(Role::key).orElse("outlined");
    }

    Grid grid() {
        return content.frames().get(0).volume().grid();
    }

    /** The outline's own series. */
    static PlacedSeries own(Outline outline) {
        return new PlacedSeries(
                outline.series().role(),
                outline.series(),
                outline.content(),
                Correspondence.identity(outline.mask().grid().origin()),
                0,
                outline.mask(),
                outline.content().decisions());
    }

    /**
     * Lays another series over the outline.
     *
     * @param like a series that was acquired together with this one, whose place it shares
     * @param passedOver where the reason goes if the lesion is not in the series
     * @throws InputException if its files are not usable
     */
    static Optional<PlacedSeries> of(
            Series series,
            Outline outline,
            Optional<PlacedSeries> like,
            Settings settings,
            List<String> passedOver,
            Workers workers,
            Progress progress)
            throws InputException {
        Series.Content content = series.read(workers, progress.part(0, 0.4));
        Volume moving = AlignmentImage.of(content);
        Optional<String> reason = misplaced(series, outline, moving.grid());
        if (reason.isPresent()) {
            passedOver.add(series.label() + " is not measured: " + reason.get());
            return Optional.empty();
        }
        List<String> decisions = new ArrayList<>(content.decisions());
        Placement place = like.isPresent()
                ? new Placement(like.get().correspondence(), like.get().residualMm())
                : place(series, moving, outline, settings, decisions, workers, progress.part(0.4, 1));
        Mask mask = carried(outline.mask(), place.correspondence(), moving.grid(), workers);
        if (mask.isEmpty()) {
            passedOver.add(series.label() + " is not measured: no voxel of it has its centre in the lesion");
            return Optional.empty();
        }
        return Optional.of(new PlacedSeries(
                series.role(), series, content, place.correspondence(), place.residualMm(), mask, decisions));
    }

    private record Placement(Correspondence correspondence, double residualMm) {}

    private static Placement place(
            Series series,
            Volume moving,
            Outline outline,
            Settings settings,
            List<String> decisions,
            Workers workers,
            Progress progress) {
        Volume fixed = outline.content().frames().get(0).volume();
        Point origin = fixed.grid().origin();
        if (!settings.align()) {
            decisions.add(series.label() + ": the outline was carried over by patient coordinates alone, as set");
            return new Placement(Correspondence.identity(origin), UNKNOWN_RESIDUAL_MM);
        }
        boolean echoPlanar =
                series.role().equals(Optional.of(Role.DWI)) || series.role().equals(Optional.of(Role.ADC));
        Alignment.Model model = echoPlanar
                ? new Alignment.Model.EchoPlanar(moving.grid().direction().y())
                : new Alignment.Model.Rigid();
        Alignment.Result result =
                Alignment.align(fixed, moving, outline.mask(), Alignment.Settings.standard(model), workers, progress);
        decisions.add(series.label() + ": " + result.decision()
                + (echoPlanar ? " Its phase encoding is taken to run along its columns." : ""));
        return new Placement(
                result.correspondence(), result.residualMm().number().orElse(UNKNOWN_RESIDUAL_MM));
    }

    private static Mask carried(Mask outline, Correspondence correspondence, Grid grid, Workers workers) {
        Mask near = outline.crop(outline.boundingBox()
                .orElseThrow()
                .grow(1, 1, 1)
                .clip(outline.grid().size()));
        return correspondence.ontoMoving(near, grid, workers, Progress.NONE);
    }

    /** The part of the series around the lesion, in its own voxels. */
    Box room() {
        Spacing spacing = grid().spacing();
        return mask.boundingBox()
                .orElseThrow()
                .grow((int) Math.ceil(ROOM_MM / spacing.x()), (int) Math.ceil(ROOM_MM / spacing.y()), (int)
                        Math.ceil(ROOM_MM / spacing.z()))
                .clip(grid().size());
    }

    /** Where the voxels of a part of the series lie in the outline's patient space, but for an echo-planar displacement. */
    Grid straight(Grid part) {
        return correspondence.motion().inverse().apply(part);
    }

    /** One of the series' volumes around the lesion, in the outline's patient space; interpolated only if it was displaced. */
    Volume straight(Volume volume, Workers workers) {
        Volume part = volume.crop(room());
        if (correspondence.isRigid()) return new Volume(straight(part.grid()), part.voxels());
        return correspondence.onFixed(volume, straight(part.grid()), Resampling.Kernel.CUBIC, workers, Progress.NONE);
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
