// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * A head of ellipsoids in two contrasts, the second moved by a known rigid movement: start error 13.65 mm in the mean.
 *
 * <p>It is the pair of volumes on which the baselines for registration were measured, made by the same formulas.
 */
final class HeadPhantom {
    // centre and half axes in mm, what each adds to the first and to the second contrast
    private static final double[][] PARTS = {
        {0, 0, 0, 72, 86, 66, 620, 300},
        {0, 0, 0, 67, 81, 61, -520, -180},
        {0, 1, 0, 63, 77, 57, 60, 620},
        {0, 1, 0, 60, 74, 54, 440, -390},
        {0, 2, 2, 44, 56, 38, 160, -90},
        {-9, 4, 8, 6, 24, 9, -560, 560},
        {9, 6, 8, 6, 22, 10, -560, 540},
        {0, -48, -26, 30, 18, 15, -90, 70},
        {28, 24, 10, 9, 7, 8, -220, 340},
        {-32, -20, 18, 6, 9, 6, -160, 230},
        {-24, 36, -8, 5, 5, 7, 180, -80},
        {18, -30, 24, 7, 5, 5, -180, 160},
        {36, -6, -20, 6, 8, 5, 130, 120},
        {-40, 10, -14, 5, 7, 8, -140, 180},
    };
    private static final Point ORIGIN = new Point(0, 0, 0);
    private static final Vector NONE = new Vector(0, 0, 0);
    private static final double UNIT = 37837;

    /** Turned by 0.10, -0.06 and 0.14 rad about x, y and z in turn, then shifted. */
    static final RigidTransform TRUTH = RigidTransform.of(new Vector(0, 0, 0.14), ORIGIN, new Vector(7, -5, 6))
            .after(RigidTransform.of(new Vector(0, -0.06, 0), ORIGIN, NONE))
            .after(RigidTransform.of(new Vector(0.10, 0, 0), ORIGIN, NONE));

    private HeadPhantom() {}

    static Volume fixed() {
        return image(centred(new Size(192, 192, 60), new Spacing(1, 1, 2.5)), 0, RigidTransform.identity(ORIGIN), 81);
    }

    static Volume moving() {
        return image(centred(new Size(176, 176, 72), new Spacing(1.1, 1.1, 2.2)), 1, TRUTH, 83);
    }

    /** The whole head. */
    static Mask head(Grid grid) {
        byte[] voxels = new byte[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (byte) (isHead(point(grid, i)) ? 1 : 0);
        return new Mask(grid, voxels);
    }

    /** Mean distance over the head, on a lattice of 8 mm, from where the truth takes each place, in mm. */
    static double error(Correspondence found) {
        double sum = 0;
        int n = 0;
        for (int z = -64; z <= 64; z += 8)
            for (int y = -80; y <= 80; y += 8)
                for (int x = -72; x <= 72; x += 8) {
                    Point p = new Point(x, y, z);
                    if (!isHead(p)) continue;
                    sum += found.apply(p).distance(TRUTH.apply(p));
                    n++;
                }
        return sum / n;
    }

    private static boolean isHead(Point p) {
        return radius(p, ORIGIN, 72, 86, 66) <= 1;
    }

    private static double radius(Point p, Point c, double a, double b, double d) {
        double x = (p.x() - c.x()) / a;
        double y = (p.y() - c.y()) / b;
        double z = (p.z() - c.z()) / d;
        return Math.sqrt(x * x + y * y + z * z);
    }

    private static Grid centred(Size n, Spacing s) {
        Point first = new Point(-(n.x() - 1) * s.x() / 2, -(n.y() - 1) * s.y() / 2, -(n.z() - 1) * s.z() / 2);
        return new Grid(n, s, DirectionCosines.AXIAL, first);
    }

    private static Point point(Grid grid, int i) {
        int nx = grid.size().x();
        int ny = grid.size().y();
        return grid.point(i % nx, i / nx % ny, i / (nx * ny));
    }

    private static Volume image(Grid grid, int contrast, RigidTransform movement, long seed) {
        RigidTransform back = movement.inverse();
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            double a = signal(back.apply(point(grid, i)), contrast) + 20 * normal(i, seed);
            double b = 20 * normal(i, seed + 1);
            voxels[i] = (float) Math.max(0, Math.min(4095, Math.rint(Math.sqrt(a * a + b * b))));
        }
        return new Volume(grid, voxels);
    }

    private static double signal(Point p, int contrast) {
        double v = 0;
        for (double[] s : PARTS) {
            double q = radius(p, new Point(s[0], s[1], s[2]), s[3], s[4], s[5]);
            double least = Math.min(s[3], Math.min(s[4], s[5]));
            v += s[6 + contrast] * inside((q - 1) * least / 0.8);
        }
        double folds =
                Math.sin(p.x() / 4.1 + Math.sin(p.z() / 9)) * Math.sin(p.y() / 4.7 + 0.8) * Math.cos(p.z() / 6.3);
        double q = radius(p, new Point(0, 1, 0), 60, 74, 54);
        return v + (contrast == 0 ? 55 : -45) * folds * inside((q - 0.97) * 40);
    }

    private static double inside(double x) {
        return 1 / (1 + Math.exp(Math.max(-40, Math.min(40, x))));
    }

    // Sum of the four 16-bit parts of a hash of the voxel's number: mean 0, standard deviation 1.
    private static double normal(int i, long seed) {
        long z = (i + 1) * 0x9E3779B97F4A7C15L + seed;
        z = (z ^ z >>> 30) * 0xBF58476D1CE4E5B9L;
        z = (z ^ z >>> 27) * 0x94D049BB133111EBL;
        z ^= z >>> 31;
        long sum = (z & 0xFFFF) + (z >>> 16 & 0xFFFF) + (z >>> 32 & 0xFFFF) + (z >>> 48);
        return (sum - 131070) / UNIT;
    }
}
