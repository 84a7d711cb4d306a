// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.study;

import static org.assertj.core.api.Assertions.assertThat;

import java.util.List;
import java.util.OptionalDouble;
import org.junit.jupiter.api.Test;

// Oracle: the weighting that echo and repetition times give, common practice, no source; attributes by DICOM PS3.3.
class RoleRulesTest {
    @Test
    void echoAndRepetitionTimesTellT1FromT2() {
        assertRole(Role.T2, "T2-weighted", mr("ax pelvis", 4000, 100));
        assertRole(Role.T1, "T1-weighted", mr("ax pelvis", 550, 12));
        assertRole(null, "neither clearly", mr("ax pelvis", 2500, 30));
    }

    @Test
    void timesWinOverAWrongDescription() {
        assertRole(Role.T2, "T2-weighted", mr("t1 sag", 4000, 100));
    }

    @Test
    void theDescriptionDecidesWhereTimesAreMissing() {
        assertRole(Role.T1, "description says T1", mr("pelvis_T1_image", Double.NaN, Double.NaN));
        assertRole(Role.T2, "description says T2", mr("T2 sag", Double.NaN, Double.NaN));
        assertRole(null, "neither attributes nor description", mr("survey", Double.NaN, Double.NaN));
    }

    @Test
    void fatSuppressionAndContrastPartTheT1Series() {
        assertRole(
                Role.T1_FAT_SAT,
                "scan options",
                with(mr("t1 ax", 4, 2), List.of("FS"), List.of(), List.of(), false, 1));
        assertRole(Role.T1_FAT_SAT, "description says fat", mr("t1 ax fs", 4, 2));
        assertRole(Role.POST_CONTRAST, "agent", with(mr("t1 ax fs", 4, 2), List.of(), List.of(), List.of(), true, 1));
        assertRole(
                Role.PRE_CONTRAST,
                "before contrast",
                with(mr("t1 ax fs pre", 4, 2), List.of(), List.of(), List.of(), true, 1));
        assertRole(
                Role.POST_CONTRAST,
                "5 time points",
                with(mr("t1 ax", 4, 2), List.of(), List.of(), List.of(), false, 5));
    }

    @Test
    void diffusionIsKnownByItsBValuesAndTheMapByItsType() {
        SeriesFacts plain = mr("ep2d", 5000, 80);
        assertRole(Role.DWI, "b-values 0, 800", with(plain, List.of(), List.of(0.0, 800.0), List.of(), false, 1));
        assertRole(Role.ADC, "image type", with(plain, List.of(), List.of(), List.of("DERIVED", "ADC"), false, 1));
        assertRole(Role.DWI, "image type", with(plain, List.of(), List.of(), List.of("DIFFUSION"), false, 1));
        assertRole(Role.ADC, "description", mr("t2 adc map", Double.NaN, Double.NaN));
    }

    private static void assertRole(Role role, String reason, SeriesFacts facts) {
        RoleRules.Verdict verdict = RoleRules.of(facts);
        assertThat(verdict.role().orElse(null)).as(verdict.reason()).isEqualTo(role);
        assertThat(verdict.reason()).contains(reason);
    }

    private static SeriesFacts mr(String description, double repetitionTime, double echoTime) {
        return new SeriesFacts(
                "MR",
                description,
                List.of("ORIGINAL", "PRIMARY"),
                List.of("SE"),
                List.of(),
                Double.isNaN(repetitionTime) ? OptionalDouble.empty() : OptionalDouble.of(repetitionTime),
                Double.isNaN(echoTime) ? OptionalDouble.empty() : OptionalDouble.of(echoTime),
                OptionalDouble.empty(),
                List.of(),
                false,
                1);
    }

    private static SeriesFacts with(
            SeriesFacts facts,
            List<String> options,
            List<Double> bValues,
            List<String> imageType,
            boolean agent,
            int phases) {
        return new SeriesFacts(
                facts.modality(),
                facts.description(),
                imageType,
                facts.scanningSequence(),
                options,
                facts.repetitionTime(),
                facts.echoTime(),
                facts.inversionTime(),
                bValues,
                agent,
                phases);
    }
}
