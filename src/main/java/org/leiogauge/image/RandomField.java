// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.Arrays;
import java.util.SplittableRandom;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Seed;

/**
 * A smooth random field in patient space: mean 0, variance 1, covariance exp(−d² / (2 L²)) at distance d, L the
 * correlation length.
 *
 * <p>g(p) = √(2/n) Σ cos(k·p + φ), wave vectors k normal with standard deviation 1/L, phases φ uniform; n waves. The mean
 * over a box is known in closed form: each wave times Π sin(k·s/2)/(k·s/2) over the box's edges s.
 *
 * <p>Source: spectral representation of a Gaussian field, Shinozuka and Deodatis 1991, doi:10.1115/1.3119501.
 */
public final class RandomField {
    private final double[] kx;
    private final double[] ky;
    private final double[] kz;
    private final double[] phase;
    private final double amplitude;

    public RandomField(Seed seed, long draw, int waves, double correlationLengthMm) {
        SplittableRandom random = seed.draw(draw);
        kx = new double[waves];
        ky = new double[waves];
        kz = new double[waves];
        phase = new double[waves];
        amplitude = StrictMath.sqrt(2.0 / waves);
        for (int i = 0; i < waves; i++) {
            kx[i] = Gaussian.next(random) / correlationLengthMm;
            ky[i] = Gaussian.next(random) / correlationLengthMm;
            kz[i] = Gaussian.next(random) / correlationLengthMm;
            phase[i] = 2 * Math.PI * random.nextDouble();
        }
    }

    public double at(double x, double y, double z) {
        double sum = 0;
        for (int i = 0; i < phase.length; i++) sum += StrictMath.cos(kx[i] * x + ky[i] * y + kz[i] * z + phase[i]);
        return amplitude * sum;
    }

    /** Writes the field's mean over a box about each point of a row. */
    public void row(double[] start, Vector step, Vector[] edges, double[] target, int count) {
        Arrays.fill(target, 0, count, 0);
        for (int i = 0; i < phase.length; i++) {
            double a = amplitude;
            for (Vector e : edges) a *= sinc((kx[i] * e.x() + ky[i] * e.y() + kz[i] * e.z()) / 2);
            if (Math.abs(a) < 1e-9) continue;
            double angle = kx[i] * start[0] + ky[i] * start[1] + kz[i] * start[2] + phase[i];
            double turn = kx[i] * step.x() + ky[i] * step.y() + kz[i] * step.z();
            addWave(a, angle, turn, target, count);
        }
    }

    // Turning a pointer is far cheaper than a cosine per voxel; its drift over a row stays near 1e-13.
    private static void addWave(double a, double angle, double turn, double[] target, int count) {
        double re = a * StrictMath.cos(angle);
        double im = a * StrictMath.sin(angle);
        double c = StrictMath.cos(turn);
        double s = StrictMath.sin(turn);
        for (int x = 0; x < count; x++) {
            target[x] += re;
            double next = re * c - im * s;
            im = re * s + im * c;
            re = next;
        }
    }

    private static double sinc(double x) {
        return Math.abs(x) < 1e-6 ? 1 : StrictMath.sin(x) / x;
    }
}
