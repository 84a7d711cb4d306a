// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import java.util.SplittableRandom;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.RandomField;
import org.leiogauge.image.Vector;
import org.leiogauge.task.Gaussian;
import org.leiogauge.task.Seed;

class PhysicsTest {
    @Test
    void spinEchoMatchesTheHandCalculation() {
        // Oracle: by hand, TR 4000, TE 100, muscle T1 856, T2 51: (1 - e^-4.673) e^-1.961 = 0.139; myometrium T2 79:
        // 0.270.
        assertThat(Signal.spinEcho(4000, 100, 856, 51)).isCloseTo(0.1394, within(1e-4));
        assertThat(Signal.spinEcho(4000, 100, 1309, 79)).isCloseTo(0.2687, within(1e-4));
    }

    @Test
    void enhancementMatchesTheHandCalculation() {
        // Oracle: by hand, spoiled gradient echo TR 4, 12 degrees, T1 1514, r1 4.5, T2* not counted: 129 % at 0.25 mM,
        // 352 % at 1.
        double before = Signal.gradientEcho(4, 0, 12, 1514, 50);
        double quarter = Signal.gradientEcho(4, 0, 12, Signal.shortened(1514, 4.5, 0.25), 50);
        double one = Signal.gradientEcho(4, 0, 12, Signal.shortened(1514, 4.5, 1), 50);
        assertThat(100 * (quarter / before - 1)).isCloseTo(129, within(0.6));
        assertThat(100 * (one / before - 1)).isCloseTo(352, within(0.6));
    }

    @Test
    void noiseHasTheRicianMeans() {
        // Oracle: closed form sqrt(pi/2) L1/2(-A²/2): 1.2533 at A 0, 1.5486 at 1, 3.1726 at 3; 5 standard errors of 10⁶
        // draws.
        double[] signals = {0, 1, 3};
        double[] means = {1.2533, 1.5486, 3.1726};
        for (int i = 0; i < 3; i++) {
            SplittableRandom random = new Seed(3).draw(i);
            double sum = 0;
            for (int n = 0; n < 1_000_000; n++) sum += Gaussian.rician(random, signals[i], 1);
            assertThat(sum / 1e6).isCloseTo(means[i], within(0.005));
        }
    }

    @Test
    void rowOfTheFieldIsItsMeanOverTheBox() {
        RandomField field = new RandomField(new Seed(2), 0, 64, 4);
        double[] row = new double[5];
        Vector[] box = {new Vector(0.8, 0, 0), new Vector(0, 0.8, 0), new Vector(0, 0, 4)};
        field.row(new double[] {3, -2, 7}, new Vector(0.8, 0, 0), box, row, 5);
        // Oracle: brute-force mean over 20³ places of the last box, midpoint rule.
        double sum = 0;
        for (int i = 0; i < 8000; i++)
            sum += field.at(
                    3 + 3.2 + 0.8 * ((i % 20 + 0.5) / 20 - 0.5),
                    -2 + 0.8 * ((i / 20 % 20 + 0.5) / 20 - 0.5),
                    7 + 4 * ((i / 400 + 0.5) / 20 - 0.5));
        assertThat(row[4]).isCloseTo(sum / 8000, within(1e-3));
    }

    @Test
    void settingsReadBackWhatTheyPrint() throws Exception {
        PhantomSettings settings = Preset.DEMO.settings();
        // Oracle: the round trip itself; a partial file keeps the preset's other values.
        java.nio.file.Path file = java.nio.file.Files.createTempFile("phantom", ".yaml");
        java.nio.file.Files.writeString(file, settings.yaml());
        assertThat(PhantomSettings.read(file)).isEqualTo(settings);
        java.nio.file.Files.writeString(file, "preset: cystic\nseed: 9\ntissues: {cystic: {t1-ms: -4}}\n");
        org.assertj.core.api.Assertions.assertThatThrownBy(() -> PhantomSettings.read(file))
                .hasMessageContaining("t1-ms must be 1.0 to 10000.0, got -4.0");
        java.nio.file.Files.delete(file);
    }
}
