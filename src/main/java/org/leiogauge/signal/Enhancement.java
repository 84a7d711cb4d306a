// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

/**
 * Enhancement after contrast medium, voxel by voxel inside a region, and which voxels do not enhance.
 *
 * <p>Relative enhancement E_t = 100 (S_t - S_0) / S_0 in %; NaN outside the region and where S_0 is under the noise floor
 * of 3 σ. Time to peak: the time of the largest E_t, in s. Wash-in: the steepest rise between phases that follow each
 * other, before contrast counting as time 0 with E = 0, in %/s; wash-out: from the peak to the last phase, in %/s, 0 if
 * the peak is the last.
 *
 * <p>Non-enhancing: the mean over all p phases of S_t - S_0 is below z · σ √(1 + 1/p), z times its standard deviation
 * if there were no enhancement, for most of the voxel and its face neighbours in the region; the voxel itself breaks a
 * tie. A vote, unlike a mean over neighbours, leaves a pocket its size. Beside it the bare
 * percentage: the largest E_t is below a fixed share. With one phase there is no time course: time to peak is that phase,
 * wash-out is 0 everywhere.
 *
 * <p>Source: E_t: common practice; test: difference of means at known variance, then majority; fixed share: common practice, no source.
 */
public final class Enhancement {
    private static final double FLOOR = 3;

    private Enhancement() {}

    /**
     * @param z one-sided limit of one voxel's test in standard deviations
     * @param percent the bare percentage under which a voxel counts as non-enhancing
     */
    public record Settings(double z, double percent) {
        public Settings {
            if (!(z > 0 && percent > 0))
                throw new IllegalArgumentException("z and percent must be > 0, got " + z + ", " + percent);
        }

        /** Each voxel at 5 %, which the vote makes about 0.02 %, beside 10 %. */
        public static Settings standard() {
            return new Settings(1.645, 10);
        }
    }

    /** A post-contrast image, aligned with the pre-contrast one; time after injection in s. */
    public record Phase(double timeSeconds, Volume image) {
        public Phase {
            if (!(timeSeconds > 0 && timeSeconds < Double.POSITIVE_INFINITY))
                throw new IllegalArgumentException("timeSeconds must be finite and > 0, got " + timeSeconds);
        }
    }

    /**
     * @param relative one map per phase in the order of time, in %
     * @param timeToPeak in s
     * @param washIn in %/s
     * @param washOut in %/s
     * @param nonEnhancing by the test
     * @param nonEnhancingByPercent by the bare percentage
     */
    public record Maps(
            List<Volume> relative,
            Volume timeToPeak,
            Volume washIn,
            Volume washOut,
            Mask nonEnhancing,
            Mask nonEnhancingByPercent) {
        public Maps {
            relative = List.copyOf(relative);
        }
    }

    /**
     * @param noise standard deviation of the noise of one image, in its unit; above 0
     */
    public static Maps measure(
            Volume pre, List<Phase> phases, Mask region, double noise, Settings settings, Workers workers) {
        List<Phase> ordered = check(pre, phases, region, noise);
        Grid grid = pre.grid();
        int slice = grid.size().x() * grid.size().y();
        Work work = new Work(pre, ordered, region, noise, settings);
        workers.forEach(grid.size().z(), z -> {
            for (int i = z * slice; i < (z + 1) * slice; i++) work.curve(i);
        });
        byte[] nonEnhancing = new byte[grid.size().voxels()];
        workers.forEach(grid.size().z(), z -> work.test(z, nonEnhancing));
        List<Volume> relative = new ArrayList<>();
        for (float[] map : work.relative) relative.add(new Volume(grid, map));
        return new Maps(
                relative,
                new Volume(grid, work.timeToPeak),
                new Volume(grid, work.washIn),
                new Volume(grid, work.washOut),
                new Mask(grid, nonEnhancing),
                new Mask(grid, work.belowPercent));
    }

    private static List<Phase> check(Volume pre, List<Phase> phases, Mask region, double noise) {
        if (phases.isEmpty()) throw new IllegalArgumentException("phases must hold one, got none");
        if (!(noise > 0 && noise < Double.POSITIVE_INFINITY))
            throw new IllegalArgumentException("noise must be finite and > 0, got " + noise);
        Size size = pre.grid().size();
        if (!region.grid().size().equals(size))
            throw new IllegalArgumentException("region must have the size " + size + ", got "
                    + region.grid().size());
        for (Phase phase : phases)
            if (!phase.image().grid().size().equals(size))
                throw new IllegalArgumentException("each phase must have the size " + size + ", got "
                        + phase.image().grid().size() + " at " + phase.timeSeconds() + " s");
        List<Phase> ordered = phases.stream()
                .sorted((a, b) -> Double.compare(a.timeSeconds(), b.timeSeconds()))
                .toList();
        for (int i = 1; i < ordered.size(); i++)
            if (ordered.get(i).timeSeconds() == ordered.get(i - 1).timeSeconds())
                throw new IllegalArgumentException("phases must differ in time, got two at "
                        + ordered.get(i).timeSeconds() + " s");
        return ordered;
    }

    private static final class Work {
        private final float[] pre;
        private final List<Phase> phases;
        private final Mask region;
        private final double noise;
        private final Settings settings;
        private final float[][] relative;
        private final float[] difference;
        private final float[] timeToPeak;
        private final float[] washIn;
        private final float[] washOut;
        private final byte[] belowPercent;

        Work(Volume pre, List<Phase> phases, Mask region, double noise, Settings settings) {
            this.pre = pre.voxels();
            this.phases = phases;
            this.region = region;
            this.noise = noise;
            this.settings = settings;
            int n = this.pre.length;
            this.relative = new float[phases.size()][n];
            this.difference = new float[n];
            this.timeToPeak = new float[n];
            this.washIn = new float[n];
            this.washOut = new float[n];
            this.belowPercent = new byte[n];
        }

        void curve(int i) {
            double s0 = pre[i];
            double sum = 0;
            for (Phase phase : phases) sum += phase.image().voxels()[i] - s0;
            difference[i] = region.voxels()[i] == 0 ? Float.NaN : (float) (sum / phases.size());
            if (region.voxels()[i] == 0 || !(s0 >= FLOOR * noise) || Float.isNaN(difference[i])) {
                undefined(i);
                return;
            }
            double peak = Double.NEGATIVE_INFINITY;
            double peakTime = 0;
            double steepest = Double.NEGATIVE_INFINITY;
            double before = 0;
            double timeBefore = 0;
            for (int p = 0; p < phases.size(); p++) {
                double time = phases.get(p).timeSeconds();
                double e = 100 * (phases.get(p).image().voxels()[i] - s0) / s0;
                relative[p][i] = (float) e;
                steepest = Math.max(steepest, (e - before) / (time - timeBefore));
                if (e > peak) {
                    peak = e;
                    peakTime = time;
                }
                before = e;
                timeBefore = time;
            }
            timeToPeak[i] = (float) peakTime;
            washIn[i] = (float) steepest;
            washOut[i] = peakTime == timeBefore ? 0 : (float) ((before - peak) / (timeBefore - peakTime));
            belowPercent[i] = (byte) (peak < settings.percent() ? 1 : 0);
        }

        private void undefined(int i) {
            for (float[] map : relative) map[i] = Float.NaN;
            timeToPeak[i] = Float.NaN;
            washIn[i] = Float.NaN;
            washOut[i] = Float.NaN;
        }

        void test(int z, byte[] nonEnhancing) {
            Size size = region.grid().size();
            int nx = size.x();
            int slice = nx * size.y();
            double limit = settings.z() * noise * Math.sqrt(1 + 1.0 / phases.size());
            for (int y = 0; y < size.y(); y++)
                for (int x = 0; x < nx; x++) {
                    int i = z * slice + y * nx + x;
                    if (Float.isNaN(difference[i])) continue;
                    int[] near = {
                        x > 0 ? i - 1 : i,
                        x < nx - 1 ? i + 1 : i,
                        y > 0 ? i - nx : i,
                        y < size.y() - 1 ? i + nx : i,
                        z > 0 ? i - slice : i,
                        z < size.z() - 1 ? i + slice : i
                    };
                    boolean own = difference[i] < limit;
                    int votes = own ? 1 : -1;
                    for (int j : near)
                        if (j != i && !Float.isNaN(difference[j])) votes += difference[j] < limit ? 1 : -1;
                    if (votes > 0 || votes == 0 && own) nonEnhancing[i] = 1;
                }
        }
    }
}
