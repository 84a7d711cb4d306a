// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import java.util.SplittableRandom;
import org.leiogauge.image.Box;
import org.leiogauge.image.DistanceTransform;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Index;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.RandomField;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * The same outline as another steady hand might have drawn it.
 *
 * <p>A draw holds the points p with d(R⁻¹(p − c − s) + c) ≤ g + e(p): d the signed distance to the outline's border in mm,
 * negative inside, linear between voxel centres; c the region's centre; s a shift, R a rotation, g a growth (or shrinking)
 * of the whole and e a smooth random field along the edge, all normal with mean 0. Through the slices of a thick stack
 * the border moves only in whole slices. A draw that came out empty is the outline itself.
 *
 * <p>Source: the four kinds of change: Zwanenburg et al. 2019, Assessing robustness of radiomic features by image
 * perturbation, doi:10.1038/s41598-018-36938-4; their sizes: settings.
 */
public final class OutlineDraws {
    private static final int WAVES = 48;
    // Beyond this many standard deviations nothing moves.
    private static final double REACH = 4;

    private final Mask outline;
    private final Box box;
    private final float[] distance;
    private final Grid grid;
    private final Point centre;
    private final Settings settings;

    /**
     * Standard deviations.
     *
     * @param shiftMm per axis
     * @param turnDegrees per axis
     * @param growMm of the whole border along its normal
     * @param edgeMm of the border's own wobble
     * @param edgeLengthMm correlation length of that wobble
     */
    public record Settings(double shiftMm, double turnDegrees, double growMm, double edgeMm, double edgeLengthMm) {
        public Settings {
            if (!(shiftMm >= 0 && turnDegrees >= 0 && growMm >= 0 && edgeMm >= 0))
                throw new IllegalArgumentException("shift-mm, turn-degrees, grow-mm and edge-mm must be 0 or more, got "
                        + shiftMm + ", " + turnDegrees + ", " + growMm + ", " + edgeMm);
            if (!(edgeLengthMm > 0 && edgeLengthMm < Double.POSITIVE_INFINITY))
                throw new IllegalArgumentException("edge-length-mm must be finite and > 0, got " + edgeLengthMm);
        }

        /** Below what two readers differ by (Dice 0.89 for uterine lesions), at the size of a voxel. Common practice, no source. */
        public static Settings standard() {
            return new Settings(0.3, 1, 0.4, 0.6, 10);
        }
    }

    public OutlineDraws(Mask outline, Settings settings, Workers workers) {
        this.outline = outline;
        this.settings = settings;
        Box lesion = outline.boundingBox()
                .orElseThrow(() -> new IllegalArgumentException("outline must hold a voxel, got none"));
        Size size = outline.grid().size();
        box = lesion.grow(
                        margin(outline.grid().spacing().x()),
                        margin(outline.grid().spacing().y()),
                        margin(outline.grid().spacing().z()))
                .clip(size);
        Mask near = outline.crop(box);
        grid = near.grid();
        distance = borderDistance(near, workers);
        Size n = grid.size();
        centre = grid.point((n.x() - 1) / 2.0, (n.y() - 1) / 2.0, (n.z() - 1) / 2.0);
    }

    private int margin(double spacing) {
        double mm = REACH * (settings.shiftMm() + settings.growMm() + settings.edgeMm()) + 2;
        return 1 + (int) Math.ceil(mm / spacing);
    }

    // Between voxel centres on both sides of a face the border lies half-way.
    private static float[] borderDistance(Mask near, Workers workers) {
        float[] d = DistanceTransform.signed(near, workers).voxels();
        float half = (float)
                (Math.min(near.grid().spacing().x(), near.grid().spacing().y()) / 2);
        for (int i = 0; i < d.length; i++) d[i] += d[i] > 0 ? -half : half;
        return d;
    }

    /** One draw, on the outline's grid. */
    public Mask draw(Seed seed, long number) {
        SplittableRandom random = seed.draw(number);
        Vector shift = normal(random).times(settings.shiftMm());
        Vector turn = normal(random).times(Math.toRadians(settings.turnDegrees()));
        double grow = Gaussian.next(random) * settings.growMm();
        RandomField edge = new RandomField(new Seed(random.nextLong()), 0, WAVES, settings.edgeLengthMm());
        byte[] drawn = draw(shift, turn, grow, edge);
        for (byte voxel : drawn) if (voxel != 0) return whole(drawn);
        return outline;
    }

    private byte[] draw(Vector shift, Vector turn, double grow, RandomField edge) {
        Size n = grid.size();
        byte[] drawn = new byte[n.voxels()];
        double[] wobble = new double[n.x()];
        Vector step = back(grid.stepX(), turn);
        double[] stepIndex = indexStep(step);
        for (int z = 0; z < n.z(); z++)
            for (int y = 0; y < n.y(); y++) {
                Point start = grid.point(0, y, z);
                edge.row(new double[] {start.x(), start.y(), start.z()}, grid.stepX(), new Vector[0], wobble, n.x());
                Index at = grid.index(centre.plus(back(start.minus(centre).plus(shift.times(-1)), turn)));
                int row = grid.offset(0, y, z);
                for (int x = 0; x < n.x(); x++) {
                    double d =
                            distanceAt(at.x() + x * stepIndex[0], at.y() + x * stepIndex[1], at.z() + x * stepIndex[2]);
                    if (d <= grow + settings.edgeMm() * wobble[x]) drawn[row + x] = 1;
                }
            }
        return drawn;
    }

    // The inverse of the small rotation about the vector turn: exact to second order, ample for a few degrees.
    private static Vector back(Vector v, Vector turn) {
        Vector once = turn.cross(v);
        return v.plus(once.times(-1)).plus(turn.cross(once).times(0.5));
    }

    private double[] indexStep(Vector step) {
        return new double[] {
            step.dot(grid.direction().x()) / grid.spacing().x(),
            step.dot(grid.direction().y()) / grid.spacing().y(),
            step.dot(grid.direction().z()) / grid.spacing().z()
        };
    }

    // Linear between voxel centres, outside the box as at its border.
    private double distanceAt(double x, double y, double z) {
        Size n = grid.size();
        double cx = Math.max(0, Math.min(x, n.x() - 1.0));
        double cy = Math.max(0, Math.min(y, n.y() - 1.0));
        double cz = Math.max(0, Math.min(z, n.z() - 1.0));
        int i = Math.min((int) cx, Math.max(0, n.x() - 2));
        int j = Math.min((int) cy, Math.max(0, n.y() - 2));
        int k = Math.min((int) cz, Math.max(0, n.z() - 2));
        int at = grid.offset(i, j, k);
        int up = n.y() > 1 ? n.x() : 0;
        int over = n.z() > 1 ? n.x() * n.y() : 0;
        double low = plane(at, up, cx - i, cy - j);
        return over == 0 ? low : low + (cz - k) * (plane(at + over, up, cx - i, cy - j) - low);
    }

    private double plane(int at, int up, double a, double b) {
        double low = line(at, a);
        return up == 0 ? low : low + b * (line(at + up, a) - low);
    }

    private double line(int at, double a) {
        return a == 0 ? distance[at] : distance[at] + a * (distance[at + 1] - distance[at]);
    }

    private Mask whole(byte[] drawn) {
        Grid all = outline.grid();
        byte[] voxels = new byte[all.size().voxels()];
        Size n = grid.size();
        for (int z = 0; z < n.z(); z++)
            for (int y = 0; y < n.y(); y++)
                System.arraycopy(
                        drawn,
                        grid.offset(0, y, z),
                        voxels,
                        all.offset(box.minX(), box.minY() + y, box.minZ() + z),
                        n.x());
        return new Mask(all, voxels);
    }

    private static Vector normal(SplittableRandom random) {
        return new Vector(Gaussian.next(random), Gaussian.next(random), Gaussian.next(random));
    }
}
