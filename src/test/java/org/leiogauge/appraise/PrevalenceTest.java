// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;
import org.leiogauge.task.InputException;

class PrevalenceTest {
    // Oracle: the published figures, as printed.
    @Test
    void presetsGiveThePublishedFigures() throws InputException {
        assertThat(Prevalence.of("regulator-2014").value()).isCloseTo(1 / 498.0, within(1e-15));
        assertThat(Prevalence.of("pritts-2015").value()).isCloseTo(0.51e-3, within(1e-15));
        assertThat(Prevalence.of("brohl-2015").text()).isEqualTo("0.18 %, 1 in 562");
        assertThat(Prevalence.of("brohl-2015-sarcoma").text()).isEqualTo("0.29 %, 1 in 340");
        assertThat(Prevalence.of("brohl-2015-sarcoma-age-75-79").text()).isEqualTo("1 %, 1 in 99");
        assertThat(Prevalence.standard().text()).isEqualTo("0.2 %, 1 in 495");
        assertThat(Prevalence.of("0.002").value()).isEqualTo(0.002);
        assertThat(Prevalence.of("0.38").text()).isEqualTo("38 %");
    }

    @Test
    void everyPresetIsToldApartAndHasItsSource() {
        assertThat(Prevalence.presets()).extracting(Prevalence::id).doesNotHaveDuplicates();
        assertThat(Prevalence.presets()).allSatisfy(preset -> {
            assertThat(preset.source()).containsAnyOf("seen in the source", "from memory, unverified");
            assertThat(preset.disease()).isIn("leiomyosarcoma", "uterine sarcoma");
            assertThat(preset.value()).isBetween(1e-4, 0.1);
        });
    }

    @Test
    void whatIsNeitherNumberNorPresetIsRefused() {
        for (String wrong : new String[] {"0", "1", "-0.1", "1.5", "NaN", "Infinity", "1e-999999999", "often", ""})
            assertThatThrownBy(() -> Prevalence.of(wrong))
                    .as(wrong)
                    .isInstanceOf(InputException.class)
                    .hasMessageStartingWith("--prevalence: found " + wrong)
                    .hasMessageNotContaining("…")
                    .hasMessageContaining(
                            "a number between 0 and 1, both excluded, or a preset as regulator-2020-high (appraise --help lists all)");
    }
}
