// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.phantom;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import java.util.Optional;
import org.junit.jupiter.api.Test;

class TissuePropertiesTest {
    private static TissueProperties enhancing(double washOut) {
        return new TissueProperties(1000, 80, 50, 0.8, 1, 0, 0.5, 20, 40, washOut, 0, 0, 0);
    }

    @Test
    void concentrationMatchesTheHandCalculation() {
        assertThat(enhancing(0).concentration(20)).isZero();
        // Oracle: by hand, 0.5 (1 − e^−1) 40 s after the arrival; 1.2 per minute takes e^−0.8 of it.
        assertThat(enhancing(0).concentration(60)).isCloseTo(0.316060, within(1e-6));
        assertThat(enhancing(1.2).concentration(60)).isCloseTo(0.316060 * 0.449329, within(1e-6));
    }

    @Test
    void everyTissueHasStandardPropertiesInTheOrderOfTheTextbooks() {
        var all = TissueProperties.standard();
        assertThat(all.keySet()).containsExactly(Tissue.values());
        // Oracle: published T2 order of the uterus: junctional zone < myometrium < endometrium (Takatsu 2015).
        assertThat(all.get(Tissue.JUNCTIONAL_ZONE).t2Ms())
                .isLessThan(all.get(Tissue.MYOMETRIUM).t2Ms());
        assertThat(all.get(Tissue.MYOMETRIUM).t2Ms())
                .isLessThan(all.get(Tissue.ENDOMETRIUM).t2Ms());
        // Oracle: ADC of water at 0 °C, Holz 2000.
        assertThat(all.get(Tissue.ICE_WATER).adc()).isEqualTo(1.10);
    }

    @Test
    void aChangeKeepsTheOtherProperties() {
        Optional<Double> none = Optional.empty();
        TissueProperties changed = new TissueProperties.Change(
                        none, none, none, none, Optional.of(0.7), none, none, none, none, none, none, none, none)
                .of(enhancing(1.2));
        assertThat(changed).isEqualTo(new TissueProperties(1000, 80, 50, 0.8, 0.7, 0, 0.5, 20, 40, 1.2, 0, 0, 0));
    }

    @Test
    void whatCannotBeIsRefusedWithKeyValueAndRange() {
        assertThatThrownBy(() -> new TissueProperties(-4, 80, 50, 0.8, 1, 0, 0, 0, 10, 0, 0, 0, 0))
                .hasMessage("t1-ms must be 1.0 to 10000.0, got -4.0");
        // T2 cannot be longer than T1, nor T2* than T2
        assertThatThrownBy(() -> new TissueProperties(50, 80, 50, 0.8, 1, 0, 0, 0, 10, 0, 0, 0, 0))
                .hasMessage("t2-ms must be 0.1 to 50.0, got 80.0");
        assertThatThrownBy(() -> new TissueProperties(500, 80, 90, 0.8, 1, 0, 0, 0, 10, 0, 0, 0, 0))
                .hasMessage("t2-star-ms must be 0.1 to 80.0, got 90.0");
        assertThatThrownBy(() -> new TissueProperties(500, 80, 50, 0.8, Double.NaN, 0, 0, 0, 10, 0, 0, 0, 0))
                .hasMessage("adc must be 0.0 to 10.0, got NaN");
    }
}
