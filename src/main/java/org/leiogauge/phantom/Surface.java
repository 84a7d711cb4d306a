// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import java.util.SplittableRandom;
import org.leiogauge.image.Vector;
import org.leiogauge.phantom.LesionSettings.Bumps;
import org.leiogauge.task.Seed;

/**
 * A star-shaped surface about the origin: R(u) = R_ellipsoid(u) · (1 + Σ a_lm Y_lm(u) + Σ bumps), u a direction.
 *
 * <p>A bump is h · exp((u·v − 1) / w²): Gaussian with standard deviation w for small angles.
 */
final class Surface {
    private static final double GOLDEN_ANGLE = Math.PI * (3 - Math.sqrt(5));
    private static final double SMALLEST = 0.2;

    private final double[] inverse = new double[3];
    private final double cos;
    private final double sin;
    private final Harmonics harmonics;
    private final double[][] bumps;

    Surface(Vector semiAxes, double turnDegrees, Harmonics harmonics, double[][] bumps) {
        inverse[0] = 1 / semiAxes.x();
        inverse[1] = 1 / semiAxes.y();
        inverse[2] = 1 / semiAxes.z();
        cos = StrictMath.cos(StrictMath.toRadians(turnDegrees));
        sin = StrictMath.sin(StrictMath.toRadians(turnDegrees));
        this.harmonics = harmonics;
        this.bumps = bumps;
    }

    static Surface of(LesionSettings lesion, Seed seed, long draw) {
        SplittableRandom random = seed.draw(draw);
        Harmonics harmonics = Harmonics.random(lesion.roughness(), random);
        double[][] bumps = new double[lesion.lobes().count() + lesion.tongues().count()][];
        double turn = random.nextDouble() * 2 * Math.PI;
        int lobes = lesion.lobes().count();
        for (int i = 0; i < lobes; i++)
            bumps[i] = bump(lesion.lobes(), 1 - (2 * i + 1.0) / lobes, turn + i * GOLDEN_ANGLE);
        for (int i = lobes; i < bumps.length; i++)
            bumps[i] = bump(lesion.tongues(), 2 * random.nextDouble() - 1, 2 * Math.PI * random.nextDouble());
        Surface surface = new Surface(lesion.semiAxes(), lesion.turnDegrees(), harmonics, bumps);
        surface.check();
        return surface;
    }

    private static double[] bump(Bumps bumps, double z, double phi) {
        double r = Math.sqrt(1 - z * z);
        double width = StrictMath.toRadians(bumps.widthDegrees());
        return new double[] {r * StrictMath.cos(phi), r * StrictMath.sin(phi), z, bumps.height(), 1 / (width * width)};
    }

    private void check() {
        for (double[] u : Directions.spread(4000)) {
            double share = share(u[0], u[1], u[2]);
            if (share < SMALLEST)
                throw new IllegalArgumentException("roughness must leave the surface at " + SMALLEST
                        + " or more of the ellipsoid's radius, got " + share);
        }
    }

    /** Distance of the surface from the centre, in mm, in a direction of length 1. */
    double radius(double x, double y, double z) {
        return share(x, y, z) * ellipsoid(x, y, z);
    }

    /** How far the surface lies outside its ellipsoid, along the direction, in mm. */
    double deviation(double x, double y, double z) {
        return (share(x, y, z) - 1) * ellipsoid(x, y, z);
    }

    private double ellipsoid(double x, double y, double z) {
        double a = (cos * x + sin * y) * inverse[0];
        double b = (cos * y - sin * x) * inverse[1];
        double c = z * inverse[2];
        return 1 / Math.sqrt(a * a + b * b + c * c);
    }

    private double share(double x, double y, double z) {
        double share = 1 + harmonics.at(x, y, z);
        for (double[] b : bumps) {
            double exponent = (b[0] * x + b[1] * y + b[2] * z - 1) * b[4];
            if (exponent > -30) share += b[3] * StrictMath.exp(exponent);
        }
        return share;
    }

    /** Length of the gradient of R on the unit sphere, by central differences along two tangents. */
    double slope(double x, double y, double z) {
        double[] t = tangent(x, y, z);
        double[] s = {y * t[2] - z * t[1], z * t[0] - x * t[2], x * t[1] - y * t[0]};
        return Math.hypot(along(x, y, z, t), along(x, y, z, s));
    }

    private static double[] tangent(double x, double y, double z) {
        double[] t = Math.abs(z) < 0.7 ? new double[] {-y, x, 0} : new double[] {0, -z, y};
        double length = Math.sqrt(t[0] * t[0] + t[1] * t[1] + t[2] * t[2]);
        for (int i = 0; i < 3; i++) t[i] /= length;
        return t;
    }

    private double along(double x, double y, double z, double[] t) {
        double h = 1e-5;
        double n = 1 / Math.sqrt(1 + h * h);
        return (radius((x + h * t[0]) * n, (y + h * t[1]) * n, (z + h * t[2]) * n)
                        - radius((x - h * t[0]) * n, (y - h * t[1]) * n, (z - h * t[2]) * n))
                / (2 * h);
    }
}
