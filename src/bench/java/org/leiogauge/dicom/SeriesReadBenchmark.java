// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.file.Path;
import java.util.concurrent.TimeUnit;
import org.leiogauge.task.InputException;
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

/**
 * Reads a series of 200 slices of 512 × 512 pixels with two threads, headers and voxels. The property {@code series} names
 * a folder with the series in {@code dicom} (native) and {@code dicom_jpegll} (JPEG lossless).
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 3, time = 2)
@Measurement(iterations = 3, time = 2)
@Fork(1)
public class SeriesReadBenchmark {
    @Param({"dicom", "dicom_jpegll"})
    public String kind;

    private Workers workers;

    @Setup
    public void begin() {
        workers = Workers.of(2);
    }

    @TearDown
    public void end() {
        workers.close();
    }

    @Benchmark
    public Object headersAndVoxels() throws InputException {
        Path folder = Path.of(System.getProperty("series"), kind);
        return DicomFolder.scan(folder, workers, Progress.NONE).get(0).read(workers, Progress.NONE);
    }

    @Benchmark
    public Object headers() throws InputException {
        return DicomFolder.scan(Path.of(System.getProperty("series"), kind), workers, Progress.NONE);
    }
}
