// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Map;
import java.util.Optional;
import org.apache.commons.math3.stat.descriptive.DescriptiveStatistics;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;
import org.leiogauge.stability.Stability.Steadiness;
import org.leiogauge.table.Interval;
import org.leiogauge.table.Measurement;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

class StabilityTest {
    private static final Stability.Settings THIRTY = Stability.Settings.standard();

    // Oracle: type 7 by hand: of 0 to 29 the 2.5th percentile lies at 0.025 · 29 = 0.725.
    @Test
    void intervalSpansTheMiddleOfTheDraws() {
        Interval interval =
                of(new Measured(12), i -> new Measured(i)).interval().orElseThrow();
        assertThat(interval.low()).isCloseTo(0.725, within(1e-12));
        assertThat(interval.high()).isCloseTo(28.275, within(1e-12));
    }

    @Test
    void intervalHoldsTheMeasurementItself() {
        assertThat(of(new Measured(-4), i -> new Measured(1)).interval()).isEqualTo(Optional.of(new Interval(-4, 1)));
    }

    @Test
    void aWideIntervalIsFlaggedAndANarrowOneIsNot() {
        assertThat(of(new Measured(12), i -> new Measured(i)).caution()).isEqualTo("wide interval");
        assertThat(of(new Measured(100), i -> new Measured(100 + i)).caution()).isEmpty();
        // a share of 0.01 to 0.04 is known well enough
        assertThat(of(new Measured(0.01), i -> new Measured(0.01 + i / 1000.0)).caution())
                .isEmpty();
    }

    @Test
    void drawsWithoutAValueAreCounted() {
        Steadiness some = of(new Measured(1), i -> i < 27 ? new Measured(1) : new NotMeasured("gone"));
        assertThat(some.caution()).isEqualTo("3 draws could not measure it again");
        Steadiness none = of(new Measured(1), i -> new NotMeasured("gone"));
        assertThat(none.interval()).isEmpty();
        assertThat(none.caution()).isEqualTo("no draw could measure it again");
    }

    @Test
    void whatWasNotMeasuredHasNoSteadiness() {
        assertThat(Stability.of(
                        Map.of("a", (Measurement) new NotMeasured("no series")),
                        key -> MethodError.NONE,
                        THIRTY,
                        i -> Map.of(),
                        Workers.SINGLE,
                        Progress.NONE))
                .isEmpty();
    }

    @Test
    void oneDrawIsRefused() {
        assertThatThrownBy(() -> new Stability.Settings(1, 0, 0.5, OutlineDraws.Settings.standard(), 0))
                .hasMessage("draws must be 0, or 2 to 10000, got 1");
    }

    // Oracle: closed form; mean and standard deviation of a sum with a normal number. Tolerance: four standard errors.
    @Test
    void noiseHasTheAskedLevelAndNoDrift() {
        Grid grid = new Grid(new Size(50, 40, 10), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0));
        float[] flat = new float[20_000];
        java.util.Arrays.fill(flat, 500);
        DescriptiveStatistics noisy = new DescriptiveStatistics();
        for (float v : NoiseDraws.draw(new Volume(grid, flat), 10, new Seed(1), 2, Optional.empty())
                .voxels()) noisy.addValue(v);
        assertThat(noisy.getMean()).isCloseTo(500, within(0.3));
        assertThat(noisy.getStandardDeviation()).isCloseTo(10, within(0.2));
    }

    @Test
    void noiseInARegionIsWhatItIsAmidTheWholeImage() {
        Grid grid = new Grid(new Size(9, 7, 5), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0));
        Volume flat = new Volume(grid, new float[grid.size().voxels()]);
        byte[] some = new byte[grid.size().voxels()];
        for (int i = 1; i < some.length; i += 2) some[i] = 1;
        float[] whole =
                NoiseDraws.draw(flat, 10, new Seed(1), 2, Optional.empty()).voxels();
        float[] part = NoiseDraws.draw(flat, 10, new Seed(1), 2, Optional.of(new Mask(grid, some)))
                .voxels();
        for (int i = 0; i < some.length; i++) assertThat(part[i]).isEqualTo(some[i] == 1 ? whole[i] : 0);
    }

    // Oracle: by hand, 3 : 4 : 5: √(10² + 7.5²) = 12.5 and √(4² + 3²) = 5.
    @Test
    void theMethodsErrorWidensTheDrawsInQuadratureWithinWhatTheFeatureCanBe() {
        MethodError seven = new MethodError(2.5, 0.05, 0, 0, Double.POSITIVE_INFINITY, 0);
        assertThat(seven.widen(100, new Interval(90, 100))).isEqualTo(new Interval(87.5, 107.5));
        MethodError three = new MethodError(1, 0, 0.5, 0, 103, 0).in(4);
        assertThat(three.widen(100, new Interval(96, 104))).isEqualTo(new Interval(95, 103));
        assertThat(MethodError.NONE.widen(100, new Interval(96, 104))).isEqualTo(new Interval(96, 104));
        assertThatThrownBy(() -> new MethodError(-1, 0, 0, 0, 1, 0)).hasMessageContaining("must be 0 or more");
    }

    // Oracle: counted by hand: 29 wide; half of 12 is less, half of a range of 100 is more.
    @Test
    void whatIsNarrowAgainstTheFeaturesRangeIsNotFlagged() {
        MethodError range = new MethodError(0, 0, 0, 0, Double.POSITIVE_INFINITY, 100);
        assertThat(of(new Measured(12), i -> new Measured(i), MethodError.NONE).caution())
                .isEqualTo("wide interval");
        assertThat(of(new Measured(12), i -> new Measured(i), range).caution()).isEmpty();
        assertThat(of(new Measured(12), i -> new Measured(4 * i), range).caution())
                .isEqualTo("wide interval");
    }

    private static Steadiness of(Measured value, java.util.function.IntFunction<Measurement> draw) {
        return of(value, draw, MethodError.NONE);
    }

    private static Steadiness of(Measured value, java.util.function.IntFunction<Measurement> draw, MethodError error) {
        try (Workers three = Workers.of(3)) {
            return Stability.of(
                            Map.of("a", (Measurement) value),
                            key -> error,
                            THIRTY,
                            i -> Map.of("a", draw.apply(i)),
                            three,
                            Progress.NONE)
                    .get("a");
        }
    }
}
