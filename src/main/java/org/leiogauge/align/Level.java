// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Arrays;
import org.leiogauge.image.Box;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * Both images at one fineness: smoothed to a common width, thinned out to match, grey levels scaled to bins.
 *
 * <p>Width σ along each axis: √(σ² − (s/2)²) for voxels of s mm, for thick slices are smooth already; none where that is
 * negative. Then at most one voxel per 0.8 σ. Grey levels: from the 0.5 % to the 99.5 % percentile, beyond clamped.
 */
record Level(double sigmaMm, int samples) {
    private static final double TAIL = 0.005;
    // Free bins at both ends keep the spline window inside the histogram.
    private static final double BORDER = 1.5;

    /**
     * @param fixed cut to the box and a border
     * @param box in the cut image's voxels
     * @param moving cut to what can come to lie in the box
     */
    MutualInformation prepare(
            Volume fixed, Box box, Volume moving, Point centre, int bins, double ridge, Seed seed, Workers workers) {
        SplineImage smoothFixed = SplineImage.of(smooth(filled(fixed), workers));
        Samples drawn =
                Samples.draw(fixed, smoothFixed, box, centre, samples, bins, seed.draw(Math.round(sigmaMm * 1000)));
        SplineImage levels = SplineImage.of(scaled(smooth(filled(moving), workers), bins));
        return new MutualInformation(drawn, levels, bins, ridge, workers);
    }

    private Volume smooth(Volume image, Workers workers) {
        Grid grid = image.grid();
        Spacing s = grid.spacing();
        GaussianSmoothing.Settings widths = new GaussianSmoothing.Settings(width(s.x()), width(s.y()), width(s.z()), 3);
        Volume smooth = GaussianSmoothing.smooth(image, widths, workers);
        Spacing thin = new Spacing(
                Math.max(s.x(), 0.8 * sigmaMm), Math.max(s.y(), 0.8 * sigmaMm), Math.max(s.z(), 0.8 * sigmaMm));
        if (thin.equals(s)) return smooth;
        return Resampling.onto(
                smooth,
                Resampling.centredGrid(grid, thin),
                Resampling.Kernel.LINEAR,
                new Resampling.Outside.Border(),
                workers,
                Progress.NONE);
    }

    private double width(double voxelMm) {
        return Math.sqrt(Math.max(0, sigmaMm * sigmaMm - voxelMm * voxelMm / 4));
    }

    // A voxel without a value counts as the darkest: a NaN would spread.
    private static Volume filled(Volume image) {
        float[] voxels = image.voxels();
        float darkest = Float.POSITIVE_INFINITY;
        boolean isWhole = true;
        for (float v : voxels) {
            if (Float.isFinite(v)) darkest = Math.min(darkest, v);
            else isWhole = false;
        }
        if (isWhole) return image;
        float[] filled = voxels.clone();
        for (int i = 0; i < filled.length; i++)
            if (!Float.isFinite(filled[i])) filled[i] = Float.isFinite(darkest) ? darkest : 0;
        return new Volume(image.grid(), filled);
    }

    private static Volume scaled(Volume image, int bins) {
        float[] sorted = image.voxels().clone();
        Arrays.sort(sorted);
        double low = sorted[(int) (TAIL * (sorted.length - 1))];
        double high = sorted[(int) ((1 - TAIL) * (sorted.length - 1))];
        double scale = high > low ? (bins - 2 - 2 * BORDER) / (high - low) : 0;
        float[] levels = new float[sorted.length];
        for (int i = 0; i < levels.length; i++)
            levels[i] = (float) (1 + BORDER - 0.5 + (Math.max(low, Math.min(high, image.voxels()[i])) - low) * scale);
        return new Volume(image.grid(), levels);
    }
}
