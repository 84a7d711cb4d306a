// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * An image smoothed to several widths, from fine to coarse, each made from the one before and thinned out to match.
 *
 * <p>Width σ along each axis: √(σ² − (s/2)²) for voxels of s mm, for thick slices are smooth already; none where that is
 * negative. At most one voxel per 0.8 σ.
 */
final class Pyramid {
    private static final double VOXELS_PER_SIGMA = 0.8;

    private Pyramid() {}

    /**
     * @param image voxels without a value count as the darkest
     * @param sigmasMm ascending
     */
    static List<Volume> of(Volume image, double[] sigmasMm, Workers workers) {
        Spacing s = image.grid().spacing();
        double[] first = {s.x(), s.y(), s.z()};
        double[] done = new double[3];
        List<Volume> levels = new ArrayList<>();
        Volume last = filled(image);
        for (double sigma : sigmasMm) {
            double[] widths = new double[3];
            for (int a = 0; a < 3; a++) {
                double wanted = Math.max(done[a], sigma * sigma - first[a] * first[a] / 4);
                widths[a] = Math.sqrt(wanted - done[a]);
                done[a] = wanted;
            }
            Volume smooth = GaussianSmoothing.smooth(
                    last, new GaussianSmoothing.Settings(widths[0], widths[1], widths[2], 3), workers);
            last = thinned(smooth, VOXELS_PER_SIGMA * sigma, workers);
            levels.add(last);
        }
        return levels;
    }

    private static Volume thinned(Volume image, double mm, Workers workers) {
        Grid grid = image.grid();
        Spacing s = grid.spacing();
        Spacing thin = new Spacing(Math.max(s.x(), mm), Math.max(s.y(), mm), Math.max(s.z(), mm));
        if (thin.equals(s)) return image;
        return Resampling.onto(
                image,
                Resampling.centredGrid(grid, thin),
                Resampling.Kernel.LINEAR,
                new Resampling.Outside.Border(),
                workers,
                Progress.NONE);
    }

    // A NaN would spread.
    private static Volume filled(Volume image) {
        float darkest = Float.POSITIVE_INFINITY;
        boolean isWhole = true;
        for (float v : image.voxels()) {
            if (Float.isFinite(v)) darkest = Math.min(darkest, v);
            else isWhole = false;
        }
        if (isWhole) return image;
        float[] filled = image.voxels().clone();
        for (int i = 0; i < filled.length; i++)
            if (!Float.isFinite(filled[i])) filled[i] = Float.isFinite(darkest) ? darkest : 0;
        return new Volume(image.grid(), filled);
    }
}
