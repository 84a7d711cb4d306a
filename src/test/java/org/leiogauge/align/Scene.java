// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.SplittableRandom;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;

/**
 * An invented body of ellipsoids, seen in two contrasts whose order of brightness differs, with a coil's shading and noise.
 * Any movement of it is known exactly, for it is a formula.
 */
final class Scene {
    // centre, half axes in mm, signal in the first and in the second contrast; later ones lie over earlier ones
    private static final double[][] PARTS = {
        {0, 0, 0, 95, 75, 90, 600, 500},
        {0, 0, 0, 80, 60, 80, 250, 300},
        {0, -30, -35, 25, 20, 20, 1000, 120},
        {-8, 4, 6, 42, 36, 40, 450, 700},
        {-20, 6, 4, 7, 5, 22, 800, 350},
        {14, -2, 8, 24, 21, 22, 240, 620},
        {20, 2, 12, 8, 7, 6, 900, 150},
        {6, -10, 2, 6, 5, 7, 150, 800},
        {50, 20, 10, 10, 14, 50, 160, 330},
        {-52, 18, 0, 9, 15, 60, 180, 340},
        {-10, 42, 12, 12, 9, 40, 500, 90},
        {30, -38, 30, 14, 9, 12, 350, 480},
        {-34, -34, 26, 12, 10, 13, 700, 260},
    };
    static final Point LESION = new Point(14, -2, 8);

    private Scene() {}

    /** Signal at a place, without noise; the edges are about 1 mm wide. */
    static double signal(Point p, int contrast) {
        double value = 20;
        double[] q = {p.x(), p.y(), p.z()};
        for (double[] part : PARTS) {
            double square = 0;
            double least = 1e9;
            for (int a = 0; a < 3; a++) {
                square += Math.pow((q[a] - part[a]) / part[3 + a], 2);
                least = Math.min(least, part[3 + a]);
            }
            double out = (Math.sqrt(square) - 1) * least / 0.5;
            if (out < 12) value += (part[6 + contrast] - value) / (1 + Math.exp(out));
        }
        double texture =
                Math.sin(p.x() / 2.3 + Math.sin(p.z() / 5)) * Math.sin(p.y() / 2.7 + 0.4) * Math.cos(p.z() / 3.9);
        return value * (1 + (contrast == 0 ? 0.08 : -0.06) * texture);
    }

    /** Shows at each point of the grid the body's place that the correspondence brings there. */
    static Volume image(Grid grid, int contrast, Correspondence toHere, double noise, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        Size n = grid.size();
        float[] voxels = new float[n.voxels()];
        for (int z = 0; z < n.z(); z++)
            for (int y = 0; y < n.y(); y++)
                for (int x = 0; x < n.x(); x++) {
                    Point p = grid.point(x, y, z);
                    double coil = 1 + 0.15 * Math.sin(p.x() / 80 + contrast) + 0.1 * Math.cos(p.y() / 70);
                    double s = coil * signal(toHere.back(p), contrast);
                    voxels[grid.offset(x, y, z)] =
                            (float) Math.hypot(s + noise * Solids.normal(random), noise * Solids.normal(random));
                }
        return new Volume(grid, voxels);
    }

    static Mask lesion(Grid grid) {
        byte[] voxels = new byte[grid.size().voxels()];
        for (int z = 0; z < grid.size().z(); z++)
            for (int y = 0; y < grid.size().y(); y++)
                for (int x = 0; x < grid.size().x(); x++)
                    if (isLesion(grid.point(x, y, z))) voxels[grid.offset(x, y, z)] = 1;
        return new Mask(grid, voxels);
    }

    static boolean isLesion(Point p) {
        return Math.pow((p.x() - 14) / 24, 2) + Math.pow((p.y() + 2) / 21, 2) + Math.pow((p.z() - 8) / 22, 2) <= 1;
    }

    /** Mean distance over the lesion between where two correspondences take it, in mm. */
    static double error(Correspondence a, Correspondence b) {
        double sum = 0;
        int n = 0;
        for (int z = -14; z <= 30; z += 4)
            for (int y = -23; y <= 19; y += 4)
                for (int x = -10; x <= 38; x += 4) {
                    Point p = new Point(x, y, z);
                    if (!isLesion(p)) continue;
                    sum += a.apply(p).distance(b.apply(p));
                    n++;
                }
        return sum / n;
    }
}
