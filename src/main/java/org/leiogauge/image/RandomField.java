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
    private static final int TOGETHER = 4;

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
        // a wave that the box averages away stays a pointer of length 0
        double[][] pointers = new double[(phase.length + TOGETHER - 1) / TOGETHER * TOGETHER][4];
        int n = 0;
        for (int i = 0; i < phase.length; i++) {
            double a = amplitude;
            for (Vector e : edges) a *= sinc((kx[i] * e.x() + ky[i] * e.y() + kz[i] * e.z()) / 2);
            if (Math.abs(a) < 1e-9) continue;
            double angle = kx[i] * start[0] + ky[i] * start[1] + kz[i] * start[2] + phase[i];
            double turn = kx[i] * step.x() + ky[i] * step.y() + kz[i] * step.z();
            pointers[n++] = new double[] {
                a * StrictMath.cos(angle), a * StrictMath.sin(angle), StrictMath.cos(turn), StrictMath.sin(turn)
            };
        }
        for (int i = 0; i < n; i += TOGETHER)
            addWaves(pointers[i], pointers[i + 1], pointers[i + 2], pointers[i + 3], target, count);
    }

    // Turning a pointer is far cheaper than a cosine per voxel; its drift over a row stays near 1e-13. Each turn waits
    // for the one before: four pointers wait together.
    private static void addWaves(double[] a, double[] b, double[] c, double[] d, double[] target, int count) {
        double aRe = a[0];
        double aIm = a[1];
        double bRe = b[0];
        double bIm = b[1];
        double cRe = c[0];
        double cIm = c[1];
        double dRe = d[0];
        double dIm = d[1];
        for (int x = 0; x < count; x++) {
            target[x] = target[x] + aRe + bRe + cRe + dRe;
            double aNext = aRe * a[2] - aIm * a[3];
            double bNext = bRe * b[2] - bIm * b[3];
            double cNext = cRe * c[2] - cIm * c[3];
            double dNext = dRe * d[2] - dIm * d[3];
            aIm = aRe * a[3] + aIm * a[2];
            bIm = bRe * b[3] + bIm * b[2];
            cIm = cRe * c[3] + cIm * c[2];
            dIm = dRe * d[3] + dIm * d[2];
            aRe = aNext;
            bRe = bNext;
            cRe = cNext;
            dRe = dNext;
        }
    }

    private static double sinc(double x) {
        return Math.abs(x) < 1e-6 ? 1 : StrictMath.sin(x) / x;
    }
}
