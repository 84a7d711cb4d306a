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
        for (float v :
                NoiseDraws.draw(new Volume(grid, flat), 10, new Seed(1), 2).voxels()) noisy.addValue(v);
        assertThat(noisy.getMean()).isCloseTo(500, within(0.3));
        assertThat(noisy.getStandardDeviation()).isCloseTo(10, within(0.2));
    }

    private static Steadiness of(Measured value, java.util.function.IntFunction<Measurement> draw) {
        try (Workers three = Workers.of(3)) {
            return Stability.of(
                            Map.of("a", (Measurement) value),
                            THIRTY,
                            i -> Map.of("a", draw.apply(i)),
                            three,
                            Progress.NONE)
                    .get("a");
        }
    }
}
