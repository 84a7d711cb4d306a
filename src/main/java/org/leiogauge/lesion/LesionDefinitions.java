// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.List;
import java.util.stream.Stream;
import org.leiogauge.table.Definition;

/** The registry of lesion-level features: name, unit, meaning and source in one place, in the order of the table. */
public final class LesionDefinitions {
    private static final String COMMON = "common practice, no source";
    private static final String IBSI = "Image Biomarker Standardisation Initiative, reference manual, ";
    private static final String ADC_UNIT = "10-3.mm2/s";

    public static final Definition VOLUME = of(
            "volume",
            "YEKZ",
            "mm3",
            "Volume of the outlined region: number of its voxels times the volume of one.",
            IBSI + "morphological features, approximate volume (YEKZ)");
    public static final Definition LONGEST_DIAMETER = of(
            "longest diameter",
            "L0JK",
            "mm",
            "Largest distance between two points of the region's surface mesh, in any direction.",
            IBSI + "morphological features, maximum 3D diameter (L0JK)");
    public static final Definition SPHERICITY = of(
            "sphericity",
            "QCFX",
            "1",
            "Surface area of a ball of the region's volume over the region's own surface area; 1 for a ball.",
            IBSI + "morphological features, sphericity (QCFX)");
    public static final Definition MARGIN_ROUGHNESS = of(
            "margin roughness",
            "",
            "mm",
            "Root mean square distance of the surface from its own smooth shape.",
            COMMON);
    public static final Definition MARGIN_SHARPNESS = of(
            "margin sharpness",
            "",
            "mm",
            "Median width of the signal's step across the border, along the surface normals.",
            COMMON);
    public static final Definition LOBULATION_COUNT =
            of("lobulation count", "", "1", "Number of bulges of the surface over its own smooth shape.", COMMON);
    public static final Definition SOLIDITY = of(
            "solidity",
            "R3ER",
            "1",
            "Volume of the region's surface mesh over the volume of its convex hull; 1 for a convex region.",
            IBSI + "morphological features, volume density - convex hull (R3ER)");
    public static final Definition T2_TO_MUSCLE = of(
            "t2 signal ratio to muscle",
            "",
            "1",
            "Mean T2-weighted signal of the lesion over that of the muscle reference region.",
            "ratio as in HIFU series before treatment (Med Phys 2010)");
    public static final Definition T2_TO_MYOMETRIUM = of(
            "t2 signal ratio to myometrium",
            "",
            "1",
            "Mean T2-weighted signal of the lesion over that of the myometrium reference region.",
            "ratio as in Namimoto et al., Eur Radiol 2009, which uses (lesion - myometrium) / myometrium");
    public static final Definition T2_VARIATION = of(
            "t2 coefficient of variation",
            "7TET",
            "1",
            "Standard deviation of the T2-weighted signal in the lesion over its mean.",
            IBSI + "intensity-based statistics, coefficient of variation (7TET)");
    public static final Definition T2_ENTROPY = of(
            "t2 entropy",
            "TLU2",
            "bit",
            "Entropy of the histogram of the T2-weighted signal in the lesion, at the settings' discretisation.",
            IBSI + "intensity histogram, discretised intensity entropy (TLU2)");
    public static final Definition T2_BRIGHT_FRACTION =
            of("t2 bright fraction", "", "1", "Share of the lesion that is as bright as fluid on T2.", COMMON);
    public static final Definition T1_BRIGHT_FRACTION = of(
            "t1 bright fraction",
            "",
            "1",
            "Share of the lesion that is brighter than blood-free tissue on fat-suppressed T1.",
            "sign of Ando et al. 2018 (T1 hyperintense area); the voxel rule is common practice, no source");
    public static final Definition T1_RIM_INDEX = of(
            "t1 bright rim index",
            "",
            "1",
            "Bright fraction of the lesion's outer shell less that of its core.",
            COMMON);
    public static final Definition NON_ENHANCING_FRACTION = of(
            "non-enhancing fraction",
            "",
            "1",
            "Share of the lesion whose signal does not rise beyond the noise after contrast.",
            COMMON);
    public static final Definition NON_ENHANCING_POCKET = of(
            "largest non-enhancing pocket", "", "mm3", "Volume of the largest connected non-enhancing part.", COMMON);
    public static final Definition RELATIVE_ENHANCEMENT = of(
            "relative enhancement",
            "",
            "%",
            "100 (S_t - S_0) / S_0 with S the mean signal of the lesion before (0) and after contrast (t).",
            "formula standard");
    public static final Definition EARLY_RATIO = of(
            "early enhancement ratio",
            "",
            "1",
            "Relative enhancement of the lesion over that of the myometrium in the phase up to 60 s after injection.",
            "early phase as in Goto et al. 2002");
    public static final Definition TIME_TO_PEAK =
            of("time to peak", "", "s", "Time after injection of the phase with the highest mean signal.", COMMON);
    public static final Definition ENHANCEMENT_HETEROGENEITY = of(
            "enhancement heterogeneity",
            "",
            "1",
            "Standard deviation over mean of the relative enhancement in the lesion, in the last phase.",
            COMMON);
    public static final Definition DWI_RATIO = of(
            "dwi signal ratio to reference",
            "",
            "1",
            "Mean signal of the lesion over that of the reference region at the highest b-value.",
            COMMON);
    public static final Definition RESTRICTED_FRACTION = of(
            "restricted fraction",
            "",
            "1",
            "Share of the lesion whose ADC lies under the cut-off of the settings.",
            COMMON);

    private static final List<Definition> ADC = List.of(
            adc("adc mean", "Mean of the ADC in the lesion."),
            adc("adc p05", "5th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p10", "10th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p25", "25th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p50", "Median of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p75", "75th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p90", "90th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc p95", "95th percentile of the ADC in the lesion, linear between order statistics (type 7)."),
            adc("adc minimum region", "Smallest mean of the ADC over a ball of the settings' size in the lesion."),
            of("adc skewness", "", "1", "Skewness of the ADC in the lesion, from population moments.", COMMON),
            of("adc kurtosis", "", "1", "Excess kurtosis of the ADC in the lesion, from population moments.", COMMON),
            RESTRICTED_FRACTION);

    private LesionDefinitions() {}

    /** All of them. */
    public static List<Definition> all() {
        return Stream.of(
                        List.of(
                                VOLUME,
                                LONGEST_DIAMETER,
                                SPHERICITY,
                                MARGIN_ROUGHNESS,
                                MARGIN_SHARPNESS,
                                LOBULATION_COUNT,
                                SOLIDITY),
                        t2(),
                        t1(),
                        enhancement(),
                        dwi(),
                        adc())
                .flatMap(List::stream)
                .toList();
    }

    /** What is measured on T2-weighted images, beyond shape. */
    public static List<Definition> t2() {
        return List.of(T2_TO_MUSCLE, T2_TO_MYOMETRIUM, T2_VARIATION, T2_ENTROPY, T2_BRIGHT_FRACTION);
    }

    /** What is measured on T1-weighted images. */
    public static List<Definition> t1() {
        return List.of(T1_BRIGHT_FRACTION, T1_RIM_INDEX);
    }

    /** What is measured before and after contrast. */
    public static List<Definition> enhancement() {
        return List.of(
                NON_ENHANCING_FRACTION,
                NON_ENHANCING_POCKET,
                RELATIVE_ENHANCEMENT,
                EARLY_RATIO,
                TIME_TO_PEAK,
                ENHANCEMENT_HETEROGENEITY);
    }

    /** What is measured on the diffusion-weighted images themselves. */
    public static List<Definition> dwi() {
        return List.of(DWI_RATIO);
    }

    /** What is measured on the ADC map. */
    public static List<Definition> adc() {
        return ADC;
    }

    private static Definition adc(String feature, String meaning) {
        return of(feature, "", ADC_UNIT, meaning, COMMON);
    }

    private static Definition of(String feature, String code, String unit, String meaning, String source) {
        return new Definition("lesion", feature, code, unit, meaning, source);
    }
}
