// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import java.util.Locale;
import java.util.concurrent.TimeUnit;
import org.leiogauge.image.Mask;
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

/** A whole head of 192 × 192 × 60 voxels to one of 176 × 176 × 72 in another contrast, 13.65 mm away; prints the error. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(value = 1, jvmArgs = "-Xmx2g")
@Warmup(iterations = 4, time = 2)
@Measurement(iterations = 5, time = 2)
public class AlignmentBenchmark {
    @Param({"1", "2"})
    private int threads;

    private Volume fixed;
    private Volume moving;
    private Mask head;
    private Workers workers;

    @Setup
    public void prepare() {
        fixed = HeadPhantom.fixed();
        moving = HeadPhantom.moving();
        head = HeadPhantom.head(fixed.grid());
        workers = Workers.of(threads);
        System.out.printf(
                Locale.ROOT,
                "mean error: %.2f mm before, %.3f mm after%n",
                HeadPhantom.error(Correspondence.identity(HeadPhantom.TRUTH.centre())),
                HeadPhantom.error(rigid().correspondence()));
    }

    @TearDown
    public void close() {
        workers.close();
    }

    @Benchmark
    public Alignment.Result rigid() {
        Alignment.Settings settings = Alignment.Settings.standard(new Alignment.Model.Rigid());
        return Alignment.align(fixed, moving, head, settings, workers, Progress.NONE);
    }
}
