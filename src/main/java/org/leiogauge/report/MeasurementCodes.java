// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.util.Map;
import java.util.Optional;
import org.leiogauge.dicom.Code;
import org.leiogauge.table.Aggregation;
import org.leiogauge.table.Definition;

/**
 * Codes of what is measured: the DICOM standard's where it has one, else the Image Biomarker Standardisation Initiative's, else
 * our own.
 *
 * <p>Source: PS3.16, context groups 7180 and 218 (quantity), 226 and 7464 (derivation), 7277 (units of ADC); 8-1 for IBSI.
 */
final class MeasurementCodes {
    private static final Code ADC = Code.dcm("113041", "Apparent Diffusion Coefficient");

    // What the number is taken as, of the ADC in the region.
    private static final Map<String, Code> OF_ADC = Map.ofEntries(
            Map.entry("adc mean", sct("373098007", "Mean")),
            Map.entry("adc p05", sct("371888009", "5th Percentile Value of population")),
            Map.entry("adc p10", sct("371890005", "10th Percentile Value of population")),
            Map.entry("adc p25", Code.ours("25th percentile")),
            Map.entry("adc p50", sct("373099004", "Median")),
            Map.entry("adc p75", Code.ours("75th percentile")),
            Map.entry("adc p90", sct("371887004", "90th Percentile Value of population")),
            Map.entry("adc p95", sct("371889001", "95th Percentile Value of population")),
            Map.entry("adc minimum region", Code.ours("smallest mean in a ball")),
            Map.entry("adc skewness", Code.dcm("126051", "Skewness")),
            Map.entry("adc kurtosis", Code.dcm("126052", "Kurtosis")));

    private MeasurementCodes() {}

    private static Code sct(String value, String meaning) {
        return new Code(value, "SCT", meaning);
    }

    /** What is measured. */
    static Code concept(Definition definition) {
        if (isLesion(definition) && OF_ADC.containsKey(definition.feature())) return ADC;
        if (isVolume(definition)) return sct("118565006", "Volume");
        return definition.code().isEmpty() ? Code.ours(definition.feature()) : ibsi(definition);
    }

    /** Which statistic of it; none where the concept says it. */
    static Optional<Code> derivation(Definition definition) {
        return isLesion(definition) ? Optional.ofNullable(OF_ADC.get(definition.feature())) : Optional.empty();
    }

    /** How; none where there is nothing to choose. */
    static Optional<Code> method(Definition definition, Aggregation aggregation) {
        if (isVolume(definition)) return Optional.of(ibsi(definition));
        if (aggregation.name().isBlank()) return Optional.empty();
        return Optional.of(
                aggregation.code().isEmpty()
                        ? Code.ours(aggregation.name())
                        : new Code(aggregation.code(), "IBSI", aggregation.name()));
    }

    /** A unit of the table; 10⁻³ mm²/s is written as µm²/ms, the same number in a unit that UCUM can parse. */
    static Code unit(String ucum) {
        return switch (ucum) {
            case "1" -> new Code("1", "UCUM", "no units");
            case "%" -> new Code("%", "UCUM", "Percent");
            case "10-3.mm2/s" -> new Code("um2/ms", "UCUM", "um2/ms");
            default -> new Code(ucum, "UCUM", ucum);
        };
    }

    private static Code ibsi(Definition definition) {
        return new Code(definition.code(), "IBSI", definition.feature());
    }

    private static boolean isLesion(Definition definition) {
        return definition.group().equals("lesion");
    }

    private static boolean isVolume(Definition definition) {
        return isLesion(definition) && definition.code().equals("YEKZ");
    }
}
