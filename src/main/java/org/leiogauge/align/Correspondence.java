// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;

/**
 * Which point of the moving series shows what a point of the fixed series shows.
 *
 * <p>q = T(p) + u(p) e: p in the fixed series' patient space, q in the moving one's, in mm.
 *
 * @param motion T, of the patient
 * @param distortion u along e, of the moving series
 */
public record Correspondence(RigidTransform motion, EchoPlanarShift distortion) {
    // Each pass shortens the error by the steepness of u, a few hundredths.
    private static final int PASSES = 12;

    /** Patient coordinates as they are. */
    public static Correspondence identity(Point centre) {
        return new Correspondence(RigidTransform.identity(centre), EchoPlanarShift.none(centre));
    }

    public boolean isRigid() {
        return distortion.coefficients().isEmpty();
    }

    /** From the fixed series to the moving one. */
    public Point apply(Point fixed) {
        return motion.apply(fixed).plus(distortion.direction().times(distortion.at(fixed)));
    }

    /** From the moving series to the fixed one. */
    public Point back(Point moving) {
        RigidTransform home = motion.inverse();
        Point fixed = home.apply(moving);
        if (isRigid()) return fixed;
        for (int pass = 0; pass < PASSES; pass++)
            fixed = home.apply(moving.plus(distortion.direction().times(-distortion.at(fixed))));
        return fixed;
    }

    /**
     * The moving image on the fixed series' grid; NaN where it has no voxel.
     *
     * @param fixed a grid in the fixed series' patient space
     * @param kernel of a rigid correspondence; a distorted one always takes the cubic spline
     */
    public Volume onFixed(Volume moving, Grid fixed, Resampling.Kernel kernel, Workers workers, Progress progress) {
        Resampling.Outside nothing = new Resampling.Outside.Value(Float.NaN);
        if (isRigid()) {
            Volume moved = Resampling.onto(moving, motion.apply(fixed), kernel, nothing, workers, progress);
            return new Volume(fixed, moved.voxels());
        }
        return new Volume(fixed, pull(moving, fixed, false, workers, progress));
    }

    /**
     * A region drawn in the fixed series on the moving series' grid: the voxels of which at least half is the region's.
     *
     * @param moving a grid in the moving series' patient space
     */
    public Mask ontoMoving(Mask region, Grid moving, Workers workers, Progress progress) {
        if (isRigid()) {
            Mask moved = Resampling.onto(
                    region, motion.inverse().apply(moving), Resampling.Kernel.LINEAR, workers, progress);
            return new Mask(moving, moved.voxels());
        }
        float[] share = pull(asVolume(region), moving, true, workers, progress);
        byte[] voxels = new byte[share.length];
        for (int i = 0; i < share.length; i++) voxels[i] = (byte) (share[i] >= 0.5 - 1e-6 ? 1 : 0);
        return new Mask(moving, voxels);
    }

    private static Volume asVolume(Mask region) {
        float[] voxels = new float[region.voxels().length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = region.voxels()[i];
        return new Volume(region.grid(), voxels);
    }

    private float[] pull(Volume source, Grid target, boolean back, Workers workers, Progress progress) {
        Size size = target.size();
        SplineImage spline = SplineImage.of(source);
        float[] values = new float[size.voxels()];
        workers.forEach(size.z(), z -> {
            double[] value = new double[4];
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < size.x(); x++) {
                    Point p = target.point(x, y, z);
                    boolean isIn = spline.at(back ? back(p) : apply(p), value);
                    values[target.offset(x, y, z)] = isIn ? (float) value[0] : Float.NaN;
                }
            progress.at((z + 1.0) / size.z());
        });
        return values;
    }
}
