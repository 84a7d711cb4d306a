// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.outline;

import java.util.List;
import java.util.SplittableRandom;
import java.util.concurrent.TimeUnit;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Progress;
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
import org.openjdk.jmh.annotations.TearDown;
import org.openjdk.jmh.annotations.Warmup;

/** A ball of 32 mm drawn 2 mm too large on two channels of 0.75 × 0.75 × 4 mm: a neighbourhood of about 500 000 voxels. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(value = 1, jvmArgs = "-Xmx3g")
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 5, time = 2)
public class RefinementBenchmark {
    @Param({"1", "2"})
    public int threads;

    private Workers workers;
    private Rough rough;

    @Setup
    public void prepare() {
        workers = Workers.of(threads);
        Grid grid = new Grid(
                new Size(140, 140, 26), new Spacing(0.75, 0.75, 4), DirectionCosines.AXIAL, new Point(-52, -52, -50));
        float[] t2 = new float[grid.size().voxels()];
        float[] post = new float[t2.length];
        SplittableRandom random = new SplittableRandom(1);
        Point middle = new Point(0, 0, 0);
        for (int i = 0; i < t2.length; i++) {
            Point p = grid.point(i % 140, i / 140 % 140, i / 19_600);
            boolean inside = p.distance(middle) <= 32;
            t2[i] = (float) ((inside ? 400 : 900) + 60 * (random.nextDouble() - 0.5));
            post[i] = (float) ((inside ? 1100 : 900) + 60 * (random.nextDouble() - 0.5));
        }
        Mask drawn = ReferenceRegion.ball(grid, middle, 34);
        rough = Rough.of(List.of(new Volume(grid, t2), new Volume(grid, post)), drawn);
    }

    @TearDown
    public void close() {
        workers.close();
    }

    @Benchmark
    public Refined both() {
        return BorderRefinement.refine(rough, BorderRefinement.Settings.standard(), workers, Progress.NONE);
    }
}
