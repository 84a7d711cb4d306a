// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.align;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;
import org.leiogauge.task.Workers;

class MutualInformationTest {
    private static final int BINS = 24;
    private static final Grid GRID = Solids.grid(40, 36, 24, 1.2, 1.2, 2);
    private static final Point CENTRE = new Point(24, 21, 24);

    private final Volume fixed = Scene.image(GRID, 0, Correspondence.identity(CENTRE), 10, 1);
    private final Volume moving = Scene.image(GRID, 1, Correspondence.identity(CENTRE), 10, 2);

    // Oracle: brute force. Central differences of the value itself; their own error is of the order of the step
    // squared.
    @Test
    void theGradientIsTheSlopeOfTheValue() {
        MutualInformation similarity = similarity(Workers.SINGLE);
        EchoPlanarShift bent = new EchoPlanarShift(
                new Vector(0, 1, 0), CENTRE, 30, List.of(0.5, -0.3, 0.2, 0.1, 0.2, 0.1, -0.2, 0.1, 0.3));
        RigidTransform motion = RigidTransform.of(new Vector(0.03, -0.02, 0.04), CENTRE, new Vector(0.7, -0.4, 0.6));
        Correspondence at = new Correspondence(motion, bent);
        double[] gradient = similarity.derivatives(at).gradient;
        assertThat(gradient).hasSize(15);
        for (int k = 0; k < gradient.length; k++) {
            double[] step = new double[gradient.length];
            step[k] = k < 3 ? 1e-4 : 2e-3;
            double up = similarity.value(MutualInformation.moved(at, step)).value;
            step[k] = -step[k];
            double down = similarity.value(MutualInformation.moved(at, step)).value;
            // samples that enter or leave the image make the value jump a little
            assertThat(gradient[k]).isCloseTo((down - up) / (2 * step[k]), within(0.03 * norm(gradient, k)));
        }
    }

    // Oracle: the entropy of the fixed grey levels is the most that anything can tell about them.
    @Test
    void anImageTellsMostAboutItself() {
        SplineImage self = SplineImage.of(fixed);
        Samples samples = Samples.draw(
                fixed, self, Box.of(GRID.size()).grow(-4, -4, -3), CENTRE, 4000, BINS, new SplittableRandom(3));
        double[] share = new double[BINS];
        for (byte b : samples.bin) share[b] += 1.0 / samples.count();
        double entropy = 0;
        for (double p : share) if (p > 0) entropy -= p * Math.log(p);
        MutualInformation similarity = new MutualInformation(
                samples, SplineImage.of(MutualInformation.levels(fixed, BINS)), BINS, 0, Workers.SINGLE);
        double here = similarity.value(Correspondence.identity(CENTRE)).value;
        assertThat(here).isLessThan(entropy).isGreaterThan(0.5 * entropy);
        RigidTransform away = RigidTransform.of(new Vector(0, 0, 0), CENTRE, new Vector(2, 1, -2));
        assertThat(similarity.value(new Correspondence(away, EchoPlanarShift.none(CENTRE))).value)
                .isLessThan(0.8 * here);
    }

    // Oracle: the same sums in the same order.
    @Test
    void threadsDoNotChangeADigit() {
        try (Workers three = Workers.of(3)) {
            MutualInformation.Evaluation one = similarity(Workers.SINGLE).curved(Correspondence.identity(CENTRE));
            MutualInformation.Evaluation many = similarity(three).curved(Correspondence.identity(CENTRE));
            assertThat(many.value).isEqualTo(one.value);
            assertThat(many.gradient).isEqualTo(one.gradient);
            assertThat(many.information).isDeepEqualTo(one.information);
        }
    }

    // Oracle: independent noise has no mutual information but what few samples feign, (bins - 1)² / 2n (Miller 1955).
    @Test
    void noiseTellsNothingAboutAnImage() {
        Volume noise = Solids.noise(GRID, 100, 10, 5);
        Samples samples = Samples.draw(
                fixed, SplineImage.of(fixed), Box.of(GRID.size()), CENTRE, 20_000, BINS, new SplittableRandom(3));
        MutualInformation similarity = new MutualInformation(
                samples, SplineImage.of(MutualInformation.levels(noise, BINS)), BINS, 0, Workers.SINGLE);
        double feigned = (BINS - 1.0) * (BINS - 1.0) / (2 * samples.count());
        assertThat(similarity.value(Correspondence.identity(CENTRE)).value).isLessThan(1.5 * feigned);
    }

    private MutualInformation similarity(Workers workers) {
        Samples samples = Samples.draw(
                fixed,
                SplineImage.of(fixed),
                Box.of(GRID.size()).grow(-7, -7, -4),
                CENTRE,
                9000,
                BINS,
                new SplittableRandom(3));
        return new MutualInformation(
                samples, SplineImage.of(MutualInformation.levels(moving, BINS)), BINS, 1e-5, workers);
    }

    private static double norm(double[] gradient, int k) {
        double sum = 0;
        for (int i = k < 3 ? 0 : 3; i < (k < 3 ? 3 : gradient.length); i++) sum += gradient[i] * gradient[i];
        return Math.sqrt(sum);
    }
}
