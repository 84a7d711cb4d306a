// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Resampling;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
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
    private static final Point ORIGIN = new Point(0, 0, 0);

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
        return new Ways(this).back(moving);
    }

    /** Both ways, for many points. */
    private static final class Ways {
        private final RigidTransform motion;
        private final RigidTransform home;
        private final boolean isRigid;
        private final Vector direction;
        private final EchoPlanarShift.Polynomial shift;

        Ways(Correspondence both) {
            motion = both.motion;
            home = motion.inverse();
            isRigid = both.isRigid();
            direction = both.distortion.direction();
            shift = both.distortion.from(ORIGIN);
        }

        Point apply(Point fixed) {
            return motion.apply(fixed).plus(shift(fixed));
        }

        Point back(Point moving) {
            Point fixed = home.apply(moving);
            if (isRigid) return fixed;
            for (int pass = 0; pass < PASSES; pass++) {
                Point next = home.apply(moving.plus(shift(fixed).times(-1)));
                if (next.equals(fixed)) return fixed;
                fixed = next;
            }
            return fixed;
        }

        private Vector shift(Point fixed) {
            return direction.times(shift.at(fixed.x(), fixed.y(), fixed.z()));
        }
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
        Ways ways = new Ways(this);
        Optional<Box> reached = back ? reached(source.grid(), target) : Optional.of(Box.of(size));
        float[] values = new float[size.voxels()];
        Arrays.fill(values, Float.NaN);
        if (reached.isEmpty()) return values;
        Box box = reached.get();
        workers.forEach(box.size().z(), slice -> {
            int z = box.minZ() + slice;
            double[] value = new double[4];
            for (int y = box.minY(); y <= box.maxY(); y++)
                for (int x = box.minX(); x <= box.maxX(); x++) {
                    Point p = target.point(x, y, z);
                    boolean isIn = spline.at(back ? ways.back(p) : ways.apply(p), value);
                    if (isIn) values[target.offset(x, y, z)] = (float) value[0];
                }
            progress.at((slice + 1.0) / box.size().z());
        });
        return values;
    }

    // Voxels beyond cannot show the part: where its corners lie, moved by as much as it is displaced anywhere.
    private Optional<Box> reached(Grid part, Grid moving) {
        Size n = part.size();
        List<Point> corners = new ArrayList<>();
        for (int corner = 0; corner < 8; corner++)
            corners.add(part.point(
                    (corner & 1) == 0 ? -1 : n.x(), (corner & 2) == 0 ? -1 : n.y(), (corner & 4) == 0 ? -1 : n.z()));
        Vector most = distortion.direction().times(distortion.largestAmong(corners));
        double[] low = {Double.MAX_VALUE, Double.MAX_VALUE, Double.MAX_VALUE};
        double[] high = {-Double.MAX_VALUE, -Double.MAX_VALUE, -Double.MAX_VALUE};
        for (Point corner : corners)
            for (int sign = -1; sign <= 1; sign += 2) {
                Index i = moving.index(motion.apply(corner).plus(most.times(sign)));
                double[] at = {i.x(), i.y(), i.z()};
                for (int a = 0; a < 3; a++) {
                    low[a] = Math.min(low[a], at[a]);
                    high[a] = Math.max(high[a], at[a]);
                }
            }
        return between(low, high, moving.size());
    }

    private static Optional<Box> between(double[] low, double[] high, Size size) {
        int[] last = {size.x() - 1, size.y() - 1, size.z() - 1};
        int[] from = new int[3];
        int[] to = new int[3];
        for (int a = 0; a < 3; a++) {
            if (high[a] < 0 || low[a] > last[a]) return Optional.empty();
            from[a] = (int) Math.max(0, Math.floor(low[a]));
            to[a] = (int) Math.min(last[a], Math.ceil(high[a]));
        }
        return Optional.of(new Box(from[0], from[1], from[2], to[0], to[1], to[2]));
    }
}
