// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * The region after the standard's processing and before its features: interpolated, rounded, re-segmented, discretised.
 *
 * <p>Masks and grey levels are cut to the region's bounding box; the image reaches at least as much farther as the local
 * intensity peaks look, and is the one that came in where nothing is interpolated: no copy is held.
 *
 * <p>A voxel of the region without an intensity (NaN) belongs to its shape and not to its intensities.
 *
 * <p>Source: IBSI reference manual, image processing.
 */
public final class PreparedRegion {
    // Beyond this many voxels a voxel's share in a cubic spline is below 1e-17.
    private static final int SPLINE_REACH = 32;
    private static final double SAME_PLACE = 0.01;
    private static final double LONG = 2;

    private final Volume image;
    private final Mask morphological;
    private final Mask intensity;
    private final Box box;
    private final Intensities intensities;
    private final Optional<Levels> levels;

    private PreparedRegion(Volume image, Mask morphological, Mask intensity, Box box, Settings settings) {
        this.image = image;
        this.morphological = morphological;
        this.intensity = intensity;
        this.box = box;
        this.intensities = new Intensities(image, box);
        this.levels = intensity.isEmpty()
                ? Optional.empty()
                : Optional.of(Levels.of(
                        intensities,
                        intensity,
                        settings.discretise(),
                        settings.texture().distance()));
    }

    /**
     * Processes image and mask.
     *
     * @return empty if no voxel belongs to the region, or none after interpolation
     * @throws IllegalArgumentException if the grids differ, or the settings don't suit the image
     */
    public static Optional<PreparedRegion> of(
            Volume image, Mask mask, Settings settings, Workers workers, Progress progress) {
        return of(image, mask, settings, Optional.empty(), workers, progress);
    }

    /**
     * Processes image and mask, and puts a filter's response in place of the intensities after re-segmentation: the whole
     * image is filtered.
     *
     * <p>Source: IBSI 2 reference manual, phase 2, image processing.
     */
    public static Optional<PreparedRegion> of(
            Volume image,
            Mask mask,
            Settings settings,
            Optional<? extends ImageFilter> filter,
            Workers workers,
            Progress progress) {
        require(image.grid(), mask.grid());
        if (settings.dimensions() == 2) requireAxialSlices(image.grid());
        Optional<Box> box = mask.boundingBox();
        if (box.isEmpty()) return Optional.empty();
        Progress first = filter.isPresent() ? progress.part(0, 0.3) : progress;
        Optional<Unfiltered> region = settings.resample().isEmpty()
                ? Optional.of(new Unfiltered(image, mask.crop(box.get()), box.get()))
                : resampled(image, mask, box.get(), settings, filter.isPresent(), workers, first);
        return region.map(r -> r.prepared(settings, filter, workers, progress.part(0.3, 1)));
    }

    /** Image and region after interpolation; the region lies in its box of the image. */
    private record Unfiltered(Volume image, Mask region, Box box) {
        PreparedRegion prepared(
                Settings settings, Optional<? extends ImageFilter> filter, Workers workers, Progress progress) {
            Mask intensity = Resegmentation.of(new Intensities(image, box), region, settings.resegment());
            Volume values = filter.isPresent() ? filter.get().apply(image, workers, progress) : image;
            return new PreparedRegion(values, region, intensity, box, settings);
        }
    }

    /** The grid that a whole image is interpolated to; the same one where the settings name none. */
    public static Grid interpolatedGrid(Grid grid, Settings settings) {
        if (settings.resample().isEmpty()) return grid;
        Spacing wanted = settings.resample().get().spacing();
        Spacing spacing = settings.dimensions() == 3
                ? wanted
                : new Spacing(wanted.x(), wanted.y(), grid.spacing().z());
        return Resampling.centredGrid(grid, spacing);
    }

    /** The whole image on that grid, or as it is where they name none. */
    public static Volume interpolated(Volume image, Settings settings, Workers workers, Progress progress) {
        if (settings.resample().isEmpty()) return image;
        Grid whole = interpolatedGrid(image.grid(), settings);
        return interpolate(image, whole, everything(whole), settings.resample().get(), workers, progress);
    }

    /** The image after interpolation, at least around the region. */
    public Volume image() {
        return image;
    }

    /** Where the region's bounding box lies in {@link #image()}. */
    public Box box() {
        return box;
    }

    /** The region before re-segmentation, on its bounding box: the standard's morphological mask. */
    public Mask morphological() {
        return morphological;
    }

    /** The region after re-segmentation, on the same grid: the standard's intensity mask. */
    public Mask intensity() {
        return intensity;
    }

    /** The intensity of each voxel of the bounding box, x fastest: a copy. */
    public float[] intensities() {
        return intensities.copy();
    }

    /** The same where they stand in {@link #image()}. */
    Intensities values() {
        return intensities;
    }

    /** The grey levels; none where re-segmentation leaves no voxel. */
    public Optional<Levels> levels() {
        return levels;
    }

    /** Spacing of the voxels after interpolation. */
    public Spacing spacing() {
        return morphological.grid().spacing();
    }

    private static Box everything(Grid grid) {
        Size size = grid.size();
        return new Box(0, 0, 0, size.x() - 1, size.y() - 1, size.z() - 1);
    }

    private static Optional<Unfiltered> resampled(
            Volume image, Mask mask, Box box, Settings settings, boolean all, Workers workers, Progress progress) {
        Settings.Resample how = settings.resample().get();
        // The grid is that of the whole image; only its part around the region is worked out, but for a filter.
        Grid whole = interpolatedGrid(image.grid(), settings);
        Box reach = project(box.grow(1, 1, 1), image.grid(), whole).clip(whole.size());
        Mask region = Resampling.onto(
                mask.crop(box.grow(2, 2, 2).clip(mask.grid().size())),
                whole.crop(reach),
                how.mask() == Settings.MaskKernel.LINEAR ? Resampling.Kernel.LINEAR : Resampling.Kernel.NEAREST,
                workers,
                progress.part(0, 0.4));
        if (region.isEmpty()) return Optional.empty();
        Box local = region.boundingBox().get();
        Box fitted = local.shift(reach.minX(), reach.minY(), reach.minZ());
        Box around =
                all ? everything(whole) : LocalIntensity.around(fitted, whole).clip(whole.size());
        Volume values = interpolate(image, whole, around, how, workers, progress.part(0.4, 1));
        return Optional.of(new Unfiltered(values, region.crop(local), inside(fitted, around)));
    }

    private static Volume interpolate(
            Volume image, Grid whole, Box around, Settings.Resample how, Workers workers, Progress progress) {
        Box needed = project(around, whole, image.grid())
                .grow(SPLINE_REACH, SPLINE_REACH, SPLINE_REACH)
                .clip(image.grid().size());
        Volume values = Resampling.onto(
                image.crop(needed),
                whole.crop(around),
                how.image() == Settings.ImageKernel.LINEAR ? Resampling.Kernel.LINEAR : Resampling.Kernel.CUBIC,
                new Resampling.Outside.Border(),
                workers,
                progress);
        return how.round() ? rounded(values) : values;
    }

    private static Volume rounded(Volume image) {
        float[] voxels = image.voxels().clone();
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) Math.rint(voxels[i]);
        return new Volume(image.grid(), voxels);
    }

    /** The box of one grid that a box of another one covers; both have the same directions. */
    private static Box project(Box box, Grid from, Grid to) {
        var low = to.index(from.point(box.minX(), box.minY(), box.minZ()));
        var high = to.index(from.point(box.maxX(), box.maxY(), box.maxZ()));
        return new Box(
                (int) Math.floor(low.x()),
                (int) Math.floor(low.y()),
                (int) Math.floor(low.z()),
                (int) Math.ceil(high.x()),
                (int) Math.ceil(high.y()),
                (int) Math.ceil(high.z()));
    }

    private static Box inside(Box box, Box around) {
        return box.shift(-around.minX(), -around.minY(), -around.minZ());
    }

    private static void require(Grid image, Grid mask) {
        Spacing spacing = image.spacing();
        double tolerance = SAME_PLACE * Math.min(spacing.x(), Math.min(spacing.y(), spacing.z()));
        if (!image.coincides(mask, tolerance))
            throw new IllegalArgumentException("mask must lie on the image's grid, " + image + ", got " + mask);
    }

    private static void requireAxialSlices(Grid grid) {
        Vector normal = sliceNormal(grid);
        double x = Math.abs(normal.x());
        double y = Math.abs(normal.y());
        double z = Math.abs(normal.z());
        if (z >= Math.max(x, y) && normal.equals(planeNormal(grid))) return;
        String plane = x > Math.max(y, z) ? "sagittal" : y > z ? "coronal" : "turned";
        throw new IllegalArgumentException("dimensions must be 3 for a " + plane
                + " stack, got 2: the standard's 2-D features are defined in axial slices");
    }

    // A file may hold its slices along any axis: voxels that are far longer than wide tell which one it was.
    private static Vector sliceNormal(Grid grid) {
        Spacing s = grid.spacing();
        if (s.x() > LONG * Math.max(s.y(), s.z())) return grid.direction().x();
        if (s.y() > LONG * Math.max(s.x(), s.z())) return grid.direction().y();
        return planeNormal(grid);
    }

    private static Vector planeNormal(Grid grid) {
        return grid.direction().x().cross(grid.direction().y());
    }
}
