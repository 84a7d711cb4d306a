// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import java.util.concurrent.TimeUnit;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Workers;
import org.openjdk.jmh.annotations.Benchmark;
import org.openjdk.jmh.annotations.BenchmarkMode;
import org.openjdk.jmh.annotations.Fork;
import org.openjdk.jmh.annotations.Measurement;
import org.openjdk.jmh.annotations.Mode;
import org.openjdk.jmh.annotations.OutputTimeUnit;
import org.openjdk.jmh.annotations.Scope;
import org.openjdk.jmh.annotations.Setup;
import org.openjdk.jmh.annotations.State;
import org.openjdk.jmh.annotations.Warmup;

/** 256 × 256 × 40 voxels of 0.9 × 0.9 × 3 mm to voxels of 1 mm, in the same directions and turned about two axes. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(value = 1, jvmArgs = "-Xmx3g")
@Warmup(iterations = 4, time = 1)
@Measurement(iterations = 5, time = 1)
public class ResamplingBenchmark {
    private Volume image;
    private Grid straight;
    private Grid turned;

    @Setup
    public void prepare() {
        Size size = new Size(256, 256, 40);
        float[] voxels = new float[size.voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (i * 31 + i / 7) % 1000;
        image = new Volume(
                new Grid(size, new Spacing(0.9, 0.9, 3), DirectionCosines.AXIAL, new Point(0, 0, 0)), voxels);
        Spacing one = new Spacing(1, 1, 1);
        straight = new Grid(new Size(230, 230, 118), one, DirectionCosines.AXIAL, new Point(0, 0, 0));
        turned = new Grid(straight.size(), one, directions(0.09, 0.05), new Point(10, -12, -6));
    }

    private static DirectionCosines directions(double aboutZ, double aboutX) {
        double c = Math.cos(aboutZ);
        double s = Math.sin(aboutZ);
        double d = Math.cos(aboutX);
        double t = Math.sin(aboutX);
        return new DirectionCosines(new Vector(c, s, 0), new Vector(-s * d, c * d, t), new Vector(s * t, -c * t, d));
    }

    @Benchmark
    public Volume straightLinear() {
        return onto(straight, Resampling.Kernel.LINEAR);
    }

    @Benchmark
    public Volume straightCubic() {
        return onto(straight, Resampling.Kernel.CUBIC);
    }

    @Benchmark
    public Volume turnedLinear() {
        return onto(turned, Resampling.Kernel.LINEAR);
    }

    @Benchmark
    public Volume turnedCubic() {
        return onto(turned, Resampling.Kernel.CUBIC);
    }

    private Volume onto(Grid target, Resampling.Kernel kernel) {
        return Resampling.onto(image, target, kernel, new Resampling.Outside.Value(0), Workers.SINGLE, Progress.NONE);
    }
}
