// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.dicom;

import java.nio.file.Path;
import java.util.List;
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
 * A folder of one series (200 slices of 512 × 512, 16 bit), from its files to a volume: headers alone, and all of it.
 *
 * <p>The folders are made by {@code python3 ../shared/bench/gen.py target/bench-data --only dicom}.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Warmup(iterations = 5, time = 2)
@Measurement(iterations = 5, time = 2)
@Fork(1)
public class SeriesBenchmark {
    @Param({"dicom", "dicom_jpegll"})
    public String form;

    @Param("target/bench-data")
    public String data;

    @Param("2")
    public int threads;

    private Workers workers;

    @Setup
    public void open() {
        workers = Workers.of(threads);
    }

    @TearDown
    public void close() {
        workers.close();
    }

    @Benchmark
    public DicomFolder scan() throws InputException {
        return DicomFolder.scan(Path.of(data, form), workers, Progress.NONE);
    }

    @Benchmark
    public List<SeriesVolume> scanAndRead() throws InputException {
        return SeriesReader.read(scan().series().get(0), workers, Progress.NONE);
    }
}
