// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.List;
import java.util.Optional;
import java.util.concurrent.TimeUnit;
import org.leiogauge.image.Mesh;
import org.leiogauge.table.FeatureValue;
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
import org.openjdk.jmh.annotations.Warmup;

/** The kernels of the standard's features, and all of them together, on lesions of two sizes at 64 grey levels. */
@State(Scope.Benchmark)
@BenchmarkMode(Mode.AverageTime)
@OutputTimeUnit(TimeUnit.MILLISECONDS)
@Fork(value = 1, jvmArgs = "-Xmx3g")
@Warmup(iterations = 4, time = 1)
@Measurement(iterations = 5, time = 1)
public class FeatureBenchmark {
    @Param({"small", "large"})
    public String lesion;

    private TexturedLesion input;
    private Settings settings;
    private PreparedRegion region;
    private PreparedRegion intensities;
    private Levels levels;
    private Mesh mesh;
    private ConvexHull hull;
    private Workers two;

    @Setup
    public void prepare() {
        input = lesion.equals("small") ? TexturedLesion.small() : TexturedLesion.large();
        settings = with(Settings.standard(), new Settings.Discretise.FixedWidth(1, 1));
        region = PreparedRegion.of(input.levels(), input.mask(), settings, Workers.SINGLE, Progress.NONE)
                .orElseThrow();
        intensities = PreparedRegion.of(input.image(), input.mask(), Settings.standard(), Workers.SINGLE, Progress.NONE)
                .orElseThrow();
        levels = region.levels().orElseThrow();
        mesh = Mesh.of(region.morphological());
        hull = ConvexHull.of(mesh);
        two = Workers.of(2);
        check();
    }

    // Oracle: the same voxels through ITK 5.2.1's run-length and co-occurrence filters, 13 directions, and through
    // scikit-image 0.19's label, 26 neighbours.
    private void check() {
        boolean isSmall = lesion.equals("small");
        require("runs", isSmall ? 4_908_539 : 24_410_475, total(glrlm()));
        require("pairs", isSmall ? 10_063_968 : 51_005_968, total(glcm()));
        require(
                "zones",
                isSmall ? 174_713 : 789_794,
                glszmAndGldzm().get(0).sizes().total());
    }

    private static long total(List<CountMatrix> matrices) {
        return matrices.stream().mapToLong(CountMatrix::total).sum();
    }

    private static void require(String what, long expected, long found) {
        if (found != expected) throw new IllegalStateException(what + ": expected " + expected + ", got " + found);
    }

    private static Settings with(Settings s, Settings.Discretise discretise) {
        return new Settings(
                s.dimensions(),
                s.resegment(),
                Optional.empty(),
                discretise,
                s.intensityVolume(),
                s.texture(),
                s.families());
    }

    @Benchmark
    public List<FeatureValue> firstOrder() {
        return IntensityStatistics.measure(Distribution.of(intensities.values(), intensities.intensity()));
    }

    @Benchmark
    public List<CountMatrix> glcm() {
        return Direction.ALL.stream()
                .map(d -> Glcm.of(levels, d, 1, 0, levels.size().z() - 1).counts())
                .toList();
    }

    @Benchmark
    public List<CountMatrix> glrlm() {
        return Direction.ALL.stream()
                .map(d -> Glrlm.of(levels, d, 0, levels.size().z() - 1).counts())
                .toList();
    }

    @Benchmark
    public List<Zones> glszmAndGldzm() {
        return Zones.of(levels, region.morphological(), 3);
    }

    @Benchmark
    public List<Neighbours> ngtdmAndNgldm() {
        return Neighbours.of(levels, settings.texture(), 3);
    }

    @Benchmark
    public double meshAndArea() {
        Mesh traced = Mesh.of(region.morphological());
        return traced.area() + traced.volume();
    }

    @Benchmark
    public ConvexHull convexHull() {
        return ConvexHull.of(mesh);
    }

    @Benchmark
    public MinimumBox minimumBox() {
        return MinimumBox.of(hull);
    }

    @Benchmark
    public Ellipsoid enclosingEllipsoid() {
        return EnclosingEllipsoid.of(hull.cornersMm());
    }

    @Benchmark
    public double moranAndGeary() {
        return new SpatialCorrelation(intensities.values(), intensities.intensity()).moransI();
    }

    @Benchmark
    public List<FeatureValue> localPeaks() {
        return LocalIntensity.measure(intensities);
    }

    @Benchmark
    public List<FeatureValue> allFamilies() {
        return StandardFeatures.measure(
                input.image(), input.mask(), Settings.standard(), Workers.SINGLE, Progress.NONE);
    }

    @Benchmark
    public List<FeatureValue> allFamiliesTwoThreads() {
        return StandardFeatures.measure(input.image(), input.mask(), Settings.standard(), two, Progress.NONE);
    }
}
