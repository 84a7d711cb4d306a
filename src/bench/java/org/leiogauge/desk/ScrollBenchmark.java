// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import java.nio.file.Path;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import java.util.Set;
import java.util.concurrent.TimeUnit;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.outline.RoughShape;
import org.leiogauge.study.Acquisition;
import org.leiogauge.study.CaseFile;
import org.leiogauge.study.Frame;
import org.leiogauge.study.Role;
import org.leiogauge.study.Series;
import org.leiogauge.study.SeriesFacts;
import org.leiogauge.study.Study;
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

/**
 * Frames per second while a reader scrolls: 512 × 512 × 60 voxels with a drawn lesion and two maps over it, one on the same
 * grid and one coarser and turned, on a pane of 1100 × 1000 pixels, painted into memory.
 */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.Throughput)
@OutputTimeUnit(TimeUnit.SECONDS)
@Fork(
        value = 1,
        jvmArgs = {"-Xmx1500m", "-Djava.awt.headless=true"})
@Warmup(iterations = 4, time = 1)
@Measurement(iterations = 5, time = 1)
public class ScrollBenchmark {
    private DeskModel model;
    private SeriesPane pane;
    private BufferedImage screen;
    private int at;

    @Setup
    public void prepare() {
        Grid fine =
                new Grid(new Size(512, 512, 60), new Spacing(0.5, 0.5, 3), DirectionCosines.AXIAL, new Point(0, 0, 0));
        double c = Math.cos(0.2);
        double s = Math.sin(0.2);
        Grid turned = new Grid(
                new Size(160, 160, 40),
                new Spacing(1.6, 1.6, 5),
                DirectionCosines.of(new Vector(c, s, 0), new Vector(-s, c, 0)),
                new Point(10, -20, -10));
        Series series = series();
        model = new DeskModel();
        model.open(
                Path.of("study"),
                new Study("case", List.of(series), List.of()),
                CaseFile.named("case"),
                List.of(series));
        model.lightbox()
                .show(Picture.of(
                        series,
                        new Series.Content(
                                List.of(new Frame(waves(fine), OptionalDouble.empty(), OptionalDouble.empty())),
                                List.of())));
        model.lesion().put(0, ball(fine));
        model.layers().add(Layer.map("fine", waves(fine), 0, 1, ""));
        model.layers().add(Layer.map("turned", waves(turned), 0, 1, ""));
        model.layers().choose(0, "fine");
        model.layers().choose(1, "turned");
        pane = new SeriesPane(model, new Strokes(model), 0);
        pane.setSize(1100, 1000);
        screen = new BufferedImage(1100, 1000, BufferedImage.TYPE_INT_RGB);
    }

    private static Series series() {
        OptionalDouble none = OptionalDouble.empty();
        return new Series(
                "t2",
                "t2",
                new SeriesFacts("MR", "t2", List.of(), List.of(), List.of(), none, none, none, List.of(), false, 1),
                new Acquisition(none, none, none, List.of()),
                Optional.of(Role.T2),
                "set",
                60,
                "",
                Set.of(),
                (workers, progress) -> {
                    throw new IllegalStateException("read already");
                });
    }

    private static Volume waves(Grid grid) {
        float[] voxels = new float[grid.size().voxels()];
        for (int i = 0; i < voxels.length; i++) voxels[i] = (float) (0.5 + 0.5 * Math.sin(i / 37.0));
        return new Volume(grid, voxels);
    }

    private static Mask ball(Grid grid) {
        return RoughShape.ball(grid, grid.point(256, 256, 30), 120);
    }

    /** One slice on, and painted. */
    @Benchmark
    public BufferedImage scroll() {
        at = (at + 1) % 60;
        model.lightbox()
                .moveCursor(model.lightbox().picture(0).orElseThrow().grid().point(256, 256, at));
        Graphics2D g = screen.createGraphics();
        pane.paint(g);
        g.dispose();
        return screen;
    }
}
