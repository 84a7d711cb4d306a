// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;
import org.leiogauge.phantom.LesionSettings.Compartment;
import org.leiogauge.phantom.LesionSettings.Place;
import org.leiogauge.task.Workers;

class CompartmentTruthTest {
    private static final Lesion LESION = PlainScene.lesion(PlainScene.ellipsoid(
            20,
            18,
            22,
            Compartment.of(Tissue.CYSTIC, Place.CORE, 0.1),
            Compartment.of(Tissue.HAEMORRHAGE, Place.RIM, 0.2)));
    private static final PhantomSettings SETTINGS = Preset.DEMO.settings();
    private static final SampledTissue SAMPLED =
            SampledTissue.of(LESION, Textures.of(SETTINGS), SETTINGS, Workers.SINGLE);
    private static final PointLattice LATTICE = new PointLattice(LESION);

    @Test
    void fractionsAreAsSet() {
        List<TruthRow> rows = CompartmentTruth.of(LESION, SAMPLED, LATTICE, SETTINGS);
        // Oracle: the settings; thresholds lie between two of 400 000 points.
        assertThat(PlainScene.value(rows, "fraction of cystic")).isCloseTo(0.1, within(1e-4));
        assertThat(PlainScene.value(rows, "fraction of haemorrhage")).isCloseTo(0.2, within(1e-4));
        assertThat(PlainScene.value(rows, "fraction of leiomyoma")).isCloseTo(0.7, within(1e-4));
        assertThat(PlainScene.value(rows, "t1 bright fraction")).isCloseTo(0.2, within(1e-4));
        assertThat(PlainScene.value(rows, "t2 bright fraction")).isCloseTo(0.1, within(1e-4));
        assertThat(PlainScene.value(rows, "non-enhancing fraction")).isCloseTo(0.3, within(2e-4));
    }

    @Test
    void theRimIsTheLargestPocketAndLiesInTheShell() {
        List<TruthRow> rows = CompartmentTruth.of(LESION, SAMPLED, LATTICE, SETTINGS);
        // Oracle: by hand. Core and rim do not touch: 0.2 of 4/3 π abc. The shell beyond 0.75 of the way is 1 - 0.75³
        // of
        // the volume, and holds all of the rim.
        assertThat(PlainScene.value(rows, "largest non-enhancing pocket"))
                .isCloseTo(0.2 * 4 / 3 * Math.PI * 20 * 18 * 22, within(10.0));
        assertThat(PlainScene.value(rows, "t1 bright rim index")).isCloseTo(0.2 / (1 - 0.421875), within(1e-3));
    }

    @Test
    void smallestBallMeanMatchesBruteForce() {
        double[] values = new double[LESION.points().size()];
        for (int p = 0; p < values.length; p++) {
            double[] at = LESION.points().get(p);
            values[p] = Math.hypot(at[0] - 6, at[1]) + 0.5 * Math.abs(at[2] + 4);
        }
        OptionalDouble least = LATTICE.smallestBallMean(5, values, CompartmentTruthTest::isLeft, Workers.SINGLE);
        // Oracle: brute force over all points, about every 61st centre and then about all those within 1.5 mm of the
        // best.
        int whole = ballPoints();
        int best = 0;
        double brute = Double.POSITIVE_INFINITY;
        for (int c = 0; c < values.length; c += 61) {
            double mean = ballMean(c, values, whole);
            if (mean < brute) best = c;
            brute = Math.min(brute, mean);
        }
        for (int c = 0; c < values.length; c++)
            if (distance(c, best) < 1.5) brute = Math.min(brute, ballMean(c, values, whole));
        assertThat(least.orElseThrow()).isCloseTo(brute, within(1e-9));
    }

    private static boolean isLeft(int p) {
        return LESION.points().get(p)[0] < 4;
    }

    private static double distance(int p, int q) {
        double[] a = LESION.points().get(p);
        double[] b = LESION.points().get(q);
        return Math.hypot(Math.hypot(a[0] - b[0], a[1] - b[1]), a[2] - b[2]);
    }

    private static int ballPoints() {
        double h = LESION.pointSpacing();
        int count = 0;
        int n = (int) (5 / h);
        for (int k = -n; k <= n; k++)
            for (int j = -n; j <= n; j++)
                for (int i = -n; i <= n; i++) if ((i * i + j * j + k * k) * h * h <= 25) count++;
        return count;
    }

    private static double ballMean(int centre, double[] values, int whole) {
        double[] c = LESION.points().get(centre);
        if (c[3] > 0.8) return Double.POSITIVE_INFINITY;
        double sum = 0;
        int count = 0;
        for (int p = 0; p < values.length; p++) {
            double[] at = LESION.points().get(p);
            double dx = at[0] - c[0];
            if (dx > 5 || dx < -5) continue;
            double dy = at[1] - c[1];
            double dz = at[2] - c[2];
            if (dx * dx + dy * dy + dz * dz > 25 + 1e-9) continue;
            if (!isLeft(p)) return Double.POSITIVE_INFINITY;
            sum += values[p];
            count++;
        }
        return count == whole ? sum / count : Double.POSITIVE_INFINITY;
    }

    @Test
    void noBallFitsIntoASmallLesion() {
        // Oracle: a ball of 5 mm does not fit into an ellipsoid with a semi-axis of 4.
        Lesion small = PlainScene.lesion(PlainScene.ellipsoid(10, 4, 10));
        double[] values = new double[small.points().size()];
        assertThat(new PointLattice(small).smallestBallMean(5, values, p -> true, Workers.SINGLE))
                .isEmpty();
    }
}
