// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.List;
import java.util.SplittableRandom;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.GaussianSmoothing;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * A lobulated lesion with compartments in textured myometrium, fat and muscle around it, on thick slices, and a sloppy
 * reader's drawing of it. All is computed here, from nothing of the code under test.
 */
record LesionScene(List<Volume> channels, Mask truth, Mask drawn) {
    static final Grid GRID = new Grid(
            new Size(112, 104, 22), new Spacing(0.75, 0.75, 4), DirectionCosines.AXIAL, new Point(-42, -39, -42));

    /** What the tissues look like; signal of myometrium is 1 in both channels. */
    record Look(
            double t2,
            double post,
            double texture,
            double blurMm,
            double lobes,
            double compartmentT2,
            double compartmentPost,
            double compartmentShare) {
        static final Look DARK = new Look(0.35, 0.85, 0.06, 0.8, 0.04, 0.35, 0.85, 0);
        static final Look CYSTIC = new Look(0.35, 0.85, 0.06, 0.8, 0.04, 2.9, 0.4, 0.4);
        static final Look HYALINE = new Look(0.35, 0.85, 0.06, 0.8, 0.04, 0.17, 0.5, 0.6);
        static final Look CELLULAR = new Look(0.88, 1.2, 0.05, 0.8, 0.04, 0.88, 1.2, 0);
        static final Look NECROTIC = new Look(1.2, 1.25, 0.14, 3.5, 0.1, 1.9, 0.4, 0.3);
        static final Look SAME = new Look(1, 1, 0.05, 0.8, 0.04, 1, 1, 0);
    }

    static LesionScene of(Look look, double snr, double jitterMm, int everySlice, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        double[] phase = random.doubles(12, 0, 2 * Math.PI).toArray();
        Shape shape = new Shape(look.lobes(), phase);
        Mask truth = Solids.mask(GRID, (x, y, z) -> shape.depth(x, y, z) >= 0);
        Volume field = texture(seed + 1, 5);
        float[] cloud = texture(seed + 2, 7).voxels();
        float[] fine = texture(seed + 3, 4).voxels();
        double cut = threshold(cloud, truth, look.compartmentShare());
        float[][] signal = new float[2][GRID.size().voxels()];
        int i = 0;
        for (int z = 0; z < GRID.size().z(); z++)
            for (int y = 0; y < GRID.size().y(); y++)
                for (int x = 0; x < GRID.size().x(); x++, i++) {
                    Point p = GRID.point(x, y, z);
                    double depth = shape.depth(p.x(), p.y(), p.z());
                    double share = 1 / (1 + Math.exp(-4.4 * depth / look.blurMm()));
                    boolean part = look.compartmentShare() > 0 && cloud[i] > cut;
                    double t2In = (part ? look.compartmentT2() : look.t2()) * (1 + look.texture() * fine[i]);
                    double postIn =
                            (part ? look.compartmentPost() : look.post()) * (1 + look.texture() * field.voxels()[i]);
                    boolean beyond = depth < -9 + 3 * Math.sin(p.y() / 9 + phase[3]);
                    boolean fat = p.x() > 0;
                    double t2Out = beyond ? fat ? 1.14 : 0.28 : 1 + 0.05 * fine[i];
                    double postOut = beyond ? fat ? 0.35 : 0.5 : 1 + 0.08 * field.voxels()[i];
                    double bias = 1 + 0.12 * Math.sin(p.x() / 60 + phase[4]) * Math.cos(p.y() / 70);
                    signal[0][i] = (float) (1000 * bias * (share * t2In + (1 - share) * t2Out));
                    signal[1][i] = (float) (1000 * bias * (share * postIn + (1 - share) * postOut));
                }
        return new LesionScene(
                List.of(noisy(signal[0], 1000 / snr, seed + 4), noisy(signal[1], 1000 / snr, seed + 5)),
                truth,
                drawn(shape, jitterMm, everySlice, seed + 6));
    }

    /** The drawing, filled in between its slices. */
    Mask rough() {
        return BetweenSlices.fill(drawn, BetweenSlices.Settings.standard(), Workers.SINGLE);
    }

    /** A star-shaped surface: an ellipsoid with lobes. */
    private record Shape(double lobes, double[] phase) {
        double depth(double x, double y, double z) {
            double a = x / 30;
            double b = y / 26;
            double c = z / 29;
            double q = Math.sqrt(a * a + b * b + c * c) + 1e-9;
            double theta = Math.atan2(b, a);
            double up = Math.acos(Math.max(-1, Math.min(1, c / q)));
            double s = Math.sin(up);
            double wave = Math.sin(3 * theta + phase[0]) * s * s * s
                    + 0.8 * Math.cos(5 * theta + phase[1]) * Math.pow(s, 5)
                    + 0.8 * Math.sin(4 * up + phase[2]) * s * s;
            double r = 1 + lobes * wave;
            double rho = Math.sqrt(x * x + y * y + z * z);
            return (r - q) * rho / q;
        }
    }

    // The reader's line strays from the border by a smooth amount along it.
    private static Mask drawn(Shape shape, double jitterMm, int everySlice, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        byte[] voxels = new byte[GRID.size().voxels()];
        for (int z = 1; z < GRID.size().z(); z += everySlice) {
            double[] wave = random.doubles(14, -1, 1).toArray();
            for (int y = 0; y < GRID.size().y(); y++)
                for (int x = 0; x < GRID.size().x(); x++) {
                    Point p = GRID.point(x, y, z);
                    double theta = Math.atan2(p.y(), p.x());
                    double off = 0;
                    for (int k = 0; k < 7; k++)
                        off += wave[k] * Math.cos(k * theta) + wave[k + 7] * Math.sin(k * theta);
                    // 13 independent terms of variance 1/3, each halved on average by the square of a wave
                    off *= jitterMm / Math.sqrt(7.0 / 3);
                    if (shape.depth(p.x(), p.y(), p.z()) >= off) voxels[GRID.offset(x, y, z)] = 1;
                }
        }
        return new Mask(GRID, voxels);
    }

    private static Volume texture(long seed, double scaleMm) {
        Volume smooth = GaussianSmoothing.smooth(
                Solids.noise(GRID, 0, 1, seed), GaussianSmoothing.Settings.of(scaleMm / 2), Workers.SINGLE);
        double sum = 0;
        for (float v : smooth.voxels()) sum += (double) v * v;
        float scale = (float) (1 / Math.sqrt(sum / smooth.voxels().length));
        float[] voxels = new float[smooth.voxels().length];
        for (int i = 0; i < voxels.length; i++) voxels[i] = smooth.voxels()[i] * scale;
        return new Volume(GRID, voxels);
    }

    private static double threshold(float[] field, Mask truth, double share) {
        float[] inside = new float[truth.count()];
        int n = 0;
        for (int i = 0; i < field.length; i++) if (truth.voxels()[i] != 0) inside[n++] = field[i];
        java.util.Arrays.sort(inside);
        return inside[Math.min(n - 1, (int) ((1 - share) * n))];
    }

    private static Volume noisy(float[] signal, double sd, long seed) {
        SplittableRandom random = new SplittableRandom(seed);
        float[] voxels = new float[signal.length];
        for (int i = 0; i < voxels.length; i++)
            voxels[i] = (float) Math.hypot(signal[i] + sd * Solids.normal(random), sd * Solids.normal(random));
        return new Volume(GRID, voxels);
    }
}
