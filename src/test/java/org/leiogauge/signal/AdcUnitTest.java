// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.signal;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Optional;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Solids;
import org.leiogauge.image.Volume;
import org.leiogauge.task.InputException;

class AdcUnitTest {
    private static final Grid GRID = Solids.grid(3, 1, 1, 1, 1, 1);
    private static final Mask ALL = Solids.mask(GRID, (x, y, z) -> true);

    // Oracle: one tissue of 1.1 · 10⁻³ mm²/s written in each unit.
    @Test
    void theUnitIsFoundFromTheSizeOfTheValues() throws InputException {
        assertFound("10-3.mm2/s", 1.1, Optional.empty(), "plausible in no other");
        assertFound("10-6.mm2/s", 1100, Optional.empty(), "plausible in no other");
        assertFound("mm2/s", 0.0011, Optional.empty(), "plausible in no other");
    }

    @Test
    void aStatedUnitIsTaken() throws InputException {
        assertFound("um2/s", 1100, Optional.of("um2/s"), "as stated");
        assertFound("um2/ms", 1.1, Optional.of("µm2/ms"), "as stated");
        assertFound("10-7.mm2/s", 11000, Optional.of("10-7.mm2/s"), "as stated");
        assertFound("10-6.mm2/s", 1100, Optional.of("10*-6.mm2/s"), "as stated");
        assertFound("10-3.mm2/s", 1.1, Optional.of("10-3 mm²/s"), "as stated");
    }

    @Test
    void whatDoesNotTellIsAskedFor() {
        assertRefused(
                11, Optional.empty(), "map: ADC unit: found none stated, and a median of 11.00 that fits no usual");
        assertRefused(1100, Optional.of("10-3.mm2/s"), "10-3.mm2/s with a median of 1100");
        assertRefused(1100, Optional.of("cm2"), "found cm2, expected mm2/s, um2/s");
        assertRefused(-1, Optional.empty(), "median of -1.000, expected values above 0");
        assertRefused(Double.NaN, Optional.empty(), "median of NaN");
    }

    private static void assertFound(String ucum, double value, Optional<String> stated, String decision)
            throws InputException {
        AdcUnit.Found found = AdcUnit.find("map", map(value), ALL, stated);
        assertThat(found.unit().ucum()).isEqualTo(ucum);
        assertThat(found.decision()).contains(ucum, decision);
        assertThat(found.unit().convert(map(value)).voxels()[0]).isCloseTo(1.1f, within(1e-6f));
    }

    private static void assertRefused(double value, Optional<String> stated, String message) {
        assertThatThrownBy(() -> AdcUnit.find("map", map(value), ALL, stated))
                .isInstanceOf(InputException.class)
                .hasMessageContaining(message);
    }

    private static Volume map(double value) {
        return new Volume(GRID, new float[] {(float) value, (float) value, (float) value});
    }
}
