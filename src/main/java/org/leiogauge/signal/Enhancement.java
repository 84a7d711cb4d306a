// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.ArrayList;
import java.util.Comparator;
import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Workers;

/**
 * Enhancement after contrast medium, voxel by voxel inside a region, and which voxels do not enhance.
 *
 * <p>Relative enhancement E_t = 100 (S_t - S_0) / S_0 in %; NaN outside the region and where S_0 is under the noise floor
 * of 3 σ. Time to peak: the time of the largest E_t, in s. Wash-in: the steepest rise between phases that follow each
 * other, before contrast counting as time 0 with E = 0, in %/s; wash-out: from the peak to the last phase, in %/s, 0 if
 * the peak is the last. Rise: the mean of S_t - S_0 over the p late phases, those of half the last one's time or later,
 * in the image's unit; so slow tissue has had its time.
 *
 * <p>Non-enhancing: the rise, averaged in its slice, is below z times the standard deviation that it had without
 * enhancement ({@link NonEnhancing}). Beside it the bare percentage: the largest E_t is below a fixed share. With one
 * phase there is no time course: time to peak is that phase, wash-out is 0 everywhere.
 *
 * <p>Source: E_t: common practice; fixed share: common practice, no source.
 */
public final class Enhancement {
    private static final double FLOOR = 3;

    private Enhancement() {}

    /**
     * @param z one-sided limit of the test in standard deviations
     * @param percent the bare percentage under which a voxel counts as non-enhancing
     * @param fewestVoxels smaller groups of voxels are taken for chance, on either side
     */
    public record Settings(double z, double percent, int fewestVoxels) {
        public Settings {
            if (!(z > 0 && percent > 0))
                throw new IllegalArgumentException("z and percent must be > 0, got " + z + ", " + percent);
            if (fewestVoxels < 1)
                throw new IllegalArgumentException("fewestVoxels must be 1 or more, got " + fewestVoxels);
        }

        /** Each voxel at 2.3 %, beside 10 %; groups of 5 and more. */
        public static Settings standard() {
            return new Settings(2, 10, 5);
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
     * @param rise mean difference of the late phases from the image before contrast, in the image's unit
     * @param nonEnhancing by the test
     * @param nonEnhancingShare of each voxel: {@link NonEnhancing}
     * @param nonEnhancingByPercent by the bare percentage
     */
    public record Maps(
            List<Volume> relative,
            Volume timeToPeak,
            Volume washIn,
            Volume washOut,
            Volume rise,
            Mask nonEnhancing,
            Volume nonEnhancingShare,
            Mask nonEnhancingByPercent) {
        public Maps {
            relative = List.copyOf(relative);
        }
    }

    /**
     * Standard deviation of the noise of one image, in its unit: from the differences between images that follow each
     * other, which share the tissue's texture; the smallest of them, for enhancement has a texture of its own. Not
     * measured where {@link NoiseLevel} is not, or without any noise.
     */
    public static Measurement noise(Volume pre, List<Phase> phases, Mask region) {
        List<Phase> ordered = inOrder(phases);
        Measurement found = new Measurement.NotMeasured("no phase after contrast");
        Volume before = pre;
        for (Phase phase : ordered) {
            Measurement level = NoiseLevel.of(difference(phase.image(), before), region);
            if (level.number().isEmpty()) return level;
            double noise = level.number().getAsDouble() / Math.sqrt(2);
            if (found.number().isEmpty() || noise < found.number().getAsDouble())
                found = new Measurement.Measured(noise);
            before = phase.image();
        }
        return found.number().orElse(1) > 0
                ? found
                : new Measurement.NotMeasured("two images are the same: no noise to be measured");
    }

    private static Volume difference(Volume image, Volume other) {
        float[] d = new float[image.voxels().length];
        for (int i = 0; i < d.length; i++) d[i] = image.voxels()[i] - other.voxels()[i];
        return new Volume(image.grid(), d);
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
        Volume rise = new Volume(grid, work.difference);
        List<Volume> relative = new ArrayList<>();
        for (float[] map : work.relative) relative.add(new Volume(grid, map));
        NonEnhancing.Found found = NonEnhancing.find(rise, noise * Math.sqrt(1 + 1.0 / work.late), settings, workers);
        return new Maps(
                relative,
                new Volume(grid, work.timeToPeak),
                new Volume(grid, work.washIn),
                new Volume(grid, work.washOut),
                rise,
                found.core(),
                found.share(),
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
        List<Phase> ordered = inOrder(phases);
        for (int i = 1; i < ordered.size(); i++)
            if (ordered.get(i).timeSeconds() == ordered.get(i - 1).timeSeconds())
                throw new IllegalArgumentException("phases must differ in time, got two at "
                        + ordered.get(i).timeSeconds() + " s");
        return ordered;
    }

    private static List<Phase> inOrder(List<Phase> phases) {
        return phases.stream()
                .sorted(Comparator.comparingDouble(Phase::timeSeconds))
                .toList();
    }

    private static final class Work {
        private final float[] pre;
        private final float[][] phases;
        private final double[] times;
        private final byte[] region;
        private final double noise;
        private final Settings settings;
        private final int late;
        private final float[][] relative;
        private final float[] difference;
        private final float[] timeToPeak;
        private final float[] washIn;
        private final float[] washOut;
        private final byte[] belowPercent;

        Work(Volume pre, List<Phase> phases, Mask region, double noise, Settings settings) {
            this.pre = pre.voxels();
            this.phases = phases.stream().map(p -> p.image().voxels()).toArray(float[][]::new);
            this.times = phases.stream().mapToDouble(Phase::timeSeconds).toArray();
            this.region = region.voxels();
            this.noise = noise;
            this.settings = settings;
            double last = phases.get(phases.size() - 1).timeSeconds();
            this.late = (int)
                    phases.stream().filter(p -> p.timeSeconds() >= last / 2).count();
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
            for (int p = phases.length - late; p < phases.length; p++) sum += phases[p][i] - s0;
            difference[i] = region[i] == 0 ? Float.NaN : (float) (sum / late);
            if (region[i] == 0 || !(s0 >= FLOOR * noise) || Float.isNaN(difference[i])) {
                undefined(i);
                return;
            }
            double peak = Double.NEGATIVE_INFINITY;
            double peakTime = 0;
            double steepest = Double.NEGATIVE_INFINITY;
            double before = 0;
            double timeBefore = 0;
            for (int p = 0; p < phases.length; p++) {
                double time = times[p];
                double e = 100 * (phases[p][i] - s0) / s0;
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
    }
}
