// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Spacing;

/**
 * A star-shaped solid about the origin, R(u) = R_e(u) + Σ h P_l(u·v) + Σ bumps, from Legendre polynomials alone, so that
 * its truth does not share code with what is tested.
 */
final class StarSolid {
    private final double[] semiAxes;
    private final List<double[]> waves = new ArrayList<>();
    private final List<double[]> bumps = new ArrayList<>();

    StarSolid(double a, double b, double c) {
        semiAxes = new double[] {a, b, c};
    }

    /** h P_l(u·v), h in mm; v of any length. */
    StarSolid wave(int l, double h, double x, double y, double z) {
        double n = Math.sqrt(x * x + y * y + z * z);
        waves.add(new double[] {l, h, x / n, y / n, z / n});
        return this;
    }

    /** A Gaussian bump of a height in mm and a width in degrees. */
    StarSolid bump(double h, double widthDegrees, double x, double y, double z) {
        double n = Math.sqrt(x * x + y * y + z * z);
        bumps.add(new double[] {h, Math.toRadians(widthDegrees), x / n, y / n, z / n});
        return this;
    }

    /** Three waves of each degree in random directions, scaled to a root mean square per degree in mm. */
    StarSolid rough(int fromDegree, int toDegree, double rmsPerDegree, SplittableRandom random) {
        for (int l = fromDegree; l <= toDegree; l++) {
            StarSolid alone = new StarSolid(0, 0, 0);
            for (int k = 0; k < 3; k++)
                alone.wave(l, 1, Solids.normal(random), Solids.normal(random), Solids.normal(random));
            double rms = alone.rms();
            for (double[] w : alone.waves) wave(l, rmsPerDegree / rms, w[2], w[3], w[4]);
        }
        return this;
    }

    /** Root mean square of the waves over all directions, by brute force over 20 000 directions on a golden spiral. */
    double rms() {
        int n = 20_000;
        double sum = 0;
        for (int i = 0; i < n; i++) {
            double z = 1 - (2 * i + 1.0) / n;
            double phi = i * Math.PI * (3 - Math.sqrt(5));
            double r = Math.sqrt(1 - z * z);
            double d = added(r * Math.cos(phi), r * Math.sin(phi), z);
            sum += d * d;
        }
        return Math.sqrt(sum / n);
    }

    double radius(double x, double y, double z) {
        double q = Math.pow(x / semiAxes[0], 2) + Math.pow(y / semiAxes[1], 2) + Math.pow(z / semiAxes[2], 2);
        return 1 / Math.sqrt(q) + added(x, y, z);
    }

    private double added(double x, double y, double z) {
        double sum = 0;
        for (double[] w : waves) sum += w[1] * legendre((int) w[0], w[2] * x + w[3] * y + w[4] * z);
        for (double[] b : bumps) sum += b[0] * Math.exp((b[2] * x + b[3] * y + b[4] * z - 1) / (b[1] * b[1]));
        return sum;
    }

    static double legendre(int l, double x) {
        double before = 1;
        double now = x;
        if (l == 0) return 1;
        for (int n = 1; n < l; n++) {
            double next = ((2 * n + 1) * x * now - n * before) / (n + 1);
            before = now;
            now = next;
        }
        return now;
    }

    /** The radius in each direction of a table of 2°, for speed: linear between them. */
    Mask mask(double sx, double sy, double sz, double extent, SplittableRandom random) {
        Grid grid = grid(sx, sy, sz, extent, random);
        float[] table = new float[91 * 181];
        for (int i = 0; i <= 90; i++)
            for (int j = 0; j <= 180; j++) {
                double t = Math.toRadians(2 * i);
                double p = Math.toRadians(2 * j);
                table[i * 181 + j] = (float) radius(Math.sin(t) * Math.cos(p), Math.sin(t) * Math.sin(p), Math.cos(t));
            }
        double least = Double.MAX_VALUE;
        double most = 0;
        for (float r : table) {
            least = Math.min(least, r);
            most = Math.max(most, r);
        }
        double inner = least;
        double outer = most;
        return Solids.mask(grid, (x, y, z) -> {
            double rho = Math.sqrt(x * x + y * y + z * z);
            if (rho <= inner) return true;
            if (rho > outer) return false;
            double t = Math.toDegrees(Math.acos(z / rho)) / 2;
            double p = Math.toDegrees(Math.atan2(y, x)) / 2;
            if (p < 0) p += 180;
            int i = (int) Math.min(89, t);
            int j = (int) Math.min(179, p);
            double a = t - i;
            double b = p - j;
            int at = i * 181 + j;
            double r = (1 - a) * ((1 - b) * table[at] + b * table[at + 1])
                    + a * ((1 - b) * table[at + 181] + b * table[at + 182]);
            return rho <= r;
        });
    }

    /** Around the origin, shifted by a random part of a voxel. */
    static Grid grid(double sx, double sy, double sz, double extent, SplittableRandom random) {
        int nx = (int) Math.ceil(2 * extent / sx);
        int ny = (int) Math.ceil(2 * extent / sy);
        int nz = (int) Math.ceil(2 * extent / sz);
        return new Grid(
                new Size(nx, ny, nz),
                new Spacing(sx, sy, sz),
                DirectionCosines.AXIAL,
                new Point(
                        -extent + sx * random.nextDouble(),
                        -extent + sy * random.nextDouble(),
                        -extent + sz * random.nextDouble()));
    }
}
