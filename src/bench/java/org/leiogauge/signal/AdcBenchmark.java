// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import java.util.ArrayList;
import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Param;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/**
 * The log-linear ADC of 512 × 512 × 30 voxels from six b-values, one thread. The decay is times {@code gain}: 1 gives whole
 * numbers under 4096, 13 whole numbers that go beyond, 0.37 others.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(value = 1, jvmArgs = "-Xmx2g")
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class AdcBenchmark {
    private static final int[] B = {0, 50, 200, 400, 800, 1200};

    @Param({"1", "13", "0.37"})
    private float gain;

    private List<AdcFit.Weighted> series;

    @Setup
    public void prepare() {
        Grid grid =
                new Grid(new Size(512, 512, 30), new Spacing(0.8, 0.8, 4), DirectionCosines.AXIAL, new Point(0, 0, 0));
        series = new ArrayList<>();
        for (int b : B) series.add(new AdcFit.Weighted(b, signal(grid, b)));
    }

    // A voxel's S₀, 950 to 1250, and D, 0.6 to 1.6 · 10⁻³ mm²/s, are the same at every b-value.
    private Volume signal(Grid grid, int b) {
        SplittableRandom random = new SplittableRandom(7);
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) {
            double s0 = 950 + 300 * random.nextDouble();
            double d = 0.6 + random.nextDouble();
            voxels[i] = gain * (float) Math.rint(s0 * Math.exp(-b / 1000.0 * d));
        }
        return new Volume(grid, voxels);
    }

    @Benchmark
    public Volume logLinear() {
        AdcFit.Settings settings = new AdcFit.Settings(AdcFit.Method.LOG_LINEAR, 0, Double.MAX_VALUE, 0, 3);
        return AdcFit.fit(series, settings, Workers.SINGLE).adc();
    }
}
