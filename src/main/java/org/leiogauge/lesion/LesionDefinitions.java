// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Collections;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import java.util.function.Function;
import java.util.stream.Stream;
import org.leiogauge.table.Definition;

/** The registry of lesion-level features: name, unit, meaning and source in one place, in the order of the table. */
public final class LesionDefinitions {
    private static final String COMMON = "common practice, no source";
    private static final String OURS = "ours, no source";
    private static final String IBSI = "Image Biomarker Standardisation Initiative, reference manual, ";
    private static final String ADC_UNIT = "10-3.mm2/s";
    private static final String SAMPLE =
            "; voxels at its border take the ADC of those inside, and what noise adds to the"
                    + " spread is taken off, as the settings say.";

    public static final Definition VOLUME = of(
            "volume",
            "YEKZ",
            "mm3",
            "Volume of the outlined region: number of its voxels times the volume of one.",
            IBSI + "morphological features, approximate volume (YEKZ)");
    public static final Definition LONGEST_DIAMETER = of(
            "longest diameter",
            "",
            "mm",
            "Largest distance between two points"
                    + " of the smooth surface through the outline's lines in the slices, in any direction.",
            COMMON);
    public static final Definition SPHERICITY = of(
            "sphericity",
            "",
            "1",
            "Surface area of a ball of the same volume over the area"
                    + " of the smooth surface through the outline's lines in the slices; 1 for a ball. The steps of thick slices do not"
                    + " count; the standard's own value, with them, stands in group morphology.",
            COMMON);
    public static final Definition MARGIN_ROUGHNESS = of(
            "margin roughness",
            "",
            "mm",
            "Root mean square distance of the surface from its own smooth shape: from its ellipsoid, without the spherical"
                    + " harmonics up to the settings' smooth degree.",
            OURS);
    public static final Definition MARGIN_SPECTRUM = of(
            "margin roughness spectrum",
            "",
            "mm",
            "Root mean square, over all directions, of what one degree of spherical harmonics adds to the surface's"
                    + " distance from its own ellipsoid.",
            OURS);
    public static final Definition LOBULATION_COUNT = of(
            "lobulation count",
            "",
            "1",
            "Number of bulges of the smoothed surface over its own ellipsoid that rise over their saddle by the settings'"
                    + " depth.",
            OURS);
    public static final Definition LOBULATION_DEPTH = of(
            "lobulation depth",
            "",
            "mm",
            "Mean height of these bulges over the saddle to another one; of a lone bulge over the ellipsoid; 0 without.",
            OURS);
    public static final Definition SLICE_CIRCULARITY = of(
            "margin slice circularity",
            "",
            "1",
            "4 pi A / P^2 of the outline in a slice, weighted by area over the slices; 1 for a circle.",
            COMMON);
    public static final Definition SLICE_CONVEXITY = of(
            "margin slice convexity",
            "",
            "1",
            "Perimeter of the convex hull over that of the outline in a slice, weighted by area over the slices.",
            COMMON);
    public static final Definition SLICE_BENDING = of(
            "margin slice bending energy",
            "",
            "1",
            "P / 4 pi^2 times the integral of the squared curvature along the outline in a slice, weighted by area over the"
                    + " slices; 1 for a circle.",
            COMMON);
    public static final Definition SLICE_RADIAL_ENTROPY = of(
            "margin slice radial entropy",
            "",
            "bit",
            "Entropy of the outline's distance from its centroid over the largest one, 100 bins, weighted by area over the"
                    + " slices; 0 for a circle.",
            "Kilday, Palmieri and Fox 1993; number of bins as stated");
    public static final Definition SLICE_DIMENSION = of(
            "margin slice box dimension",
            "",
            "1",
            "Box-counting dimension of the outline in a slice, sides from 2 voxels to a quarter of its extent, weighted by"
                    + " area over the slices; 1 for a smooth line.",
            COMMON);
    public static final Definition MARGIN_SHARPNESS = of(
            "margin sharpness",
            "",
            "mm",
            "Median over the border of the width over which the T2-weighted signal goes from 10 to 90 % of its step, along"
                    + " the surface normal, less the blur of the voxels.",
            OURS);
    public static final Definition SHARPNESS_MYOMETRIUM = of(
            "margin sharpness to myometrium",
            "",
            "mm",
            "Margin sharpness where the tissue outside has the signal of the myometrium reference.",
            OURS);
    public static final Definition SHARPNESS_OTHER = of(
            "margin sharpness to other tissue",
            "",
            "mm",
            "Margin sharpness where the tissue outside has another signal than the myometrium reference.",
            OURS);
    public static final Definition ILL_DEFINED = of(
            "ill-defined border share",
            "",
            "1",
            "Share of the places along the border where the signal's step is wider than the settings' width, or no step"
                    + " stands out of the noise.",
            OURS);
    public static final Definition SOLIDITY = of(
            "solidity",
            "",
            "1",
            "Volume over that of the convex hull,"
                    + " of the smooth surface through the outline's lines in the slices; 1 for a convex region.",
            COMMON);
    public static final Definition T2_TO_MUSCLE = of(
            "t2 signal ratio to muscle",
            "",
            "1",
            "Mean T2-weighted signal of the lesion over that of the muscle reference region; what voxels at the"
                    + " lesion's border hold of the tissue outside is taken off.",
            "ratio as in HIFU series before treatment (Med Phys 2010)");
    public static final Definition T2_TO_MYOMETRIUM = of(
            "t2 signal ratio to myometrium",
            "",
            "1",
            "Mean T2-weighted signal of the lesion over that of the myometrium reference region; what voxels at the"
                    + " lesion's border hold of the tissue outside is taken off.",
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
    public static final Definition T2_CLASS = of(
            "t2 signal class",
            "",
            "1",
            "1 low: mean signal at or below the settings' multiple of muscle; 3 high: at or above that of myometrium; 2"
                    + " intermediate: between them.",
            "Funaki's types, from memory; the multiples are common practice, no source");
    public static final Definition T2_QUARTILE_RANGE = of(
            "t2 relative inter-quartile range",
            "",
            "1",
            "(P75 - P25) / P50 of the T2-weighted signal in the lesion, percentiles linear between order statistics (type"
                    + " 7).",
            COMMON);
    public static final Definition T2_BRIGHT_FRACTION = of(
            "t2 bright fraction",
            "",
            "1",
            "Share of the lesion that is brighter on T2 than the settings' multiple of the myometrium, as fluid, myxoid change"
                    + " and liquid necrosis are; its border half-way to the rest.",
            COMMON);
    public static final Definition T2_BRIGHT_BORDER = of(
            "t2 bright part border width",
            "",
            "mm",
            "Median width over which the signal goes from 10 to 90 % of its step across the border of the bright part;"
                    + " narrow: well circumscribed.",
            OURS);
    public static final Definition T2_FLUID_FRACTION = of(
            "t2 fluid-like fraction",
            "",
            "1",
            "Share of the lesion that is as bright as fluid on T2, and so cyst-like: above the settings' share of urine, or"
                    + " without urine a multiple of myometrium; its border half-way to the rest.",
            COMMON);
    public static final Definition T2_DARK_FRACTION = of(
            "t2 dark fraction",
            "",
            "1",
            "Share of the lesion at or below the settings' multiple of the muscle's T2-weighted signal.",
            COMMON);
    public static final Definition T1_TO_MUSCLE = of(
            "t1 signal ratio to muscle",
            "",
            "1",
            "Mean T1-weighted signal of the lesion over that of the muscle reference region.",
            COMMON);
    public static final Definition T1_TO_MYOMETRIUM = of(
            "t1 signal ratio to myometrium",
            "",
            "1",
            "Mean T1-weighted signal of the lesion over that of the myometrium reference region.",
            COMMON);
    public static final Definition T1_BRIGHT_FRACTION = of(
            "t1 bright fraction",
            "",
            "1",
            "Share of the lesion that is brighter than blood-free tissue on T1, fat-suppressed where there is such a series:"
                    + " above the settings' multiple of the reference and beyond its spread, border half-way to the rest.",
            "sign of Ando et al. 2018 (T1 hyperintense area); the voxel rule is common practice, no source");
    public static final Definition T1_RIM_INDEX = of(
            "t1 bright rim index",
            "",
            "1",
            "Bright fraction of the lesion's outer shell less that of its core; the shell is the outer quarter of the way"
                    + " from border to centre, as the settings say.",
            OURS);
    public static final Definition T1_BRIGHT_PIECES = of(
            "t1 bright part count",
            "",
            "1",
            "Number of pieces of the bright part, joined by faces or edges, of at least the settings' volume.",
            COMMON);
    public static final Definition T1_LARGEST_PIECE = of(
            "t1 largest bright share",
            "",
            "1",
            "Volume of the largest piece over that of the whole bright part.",
            COMMON);
    public static final Definition T1_PATTERN = of(
            "t1 bright pattern",
            "",
            "1",
            "0 none, 1 rim, 2 one pocket, 3 patches, 4 scattered: by the bright fraction, the rim index and the pieces.",
            OURS);
    public static final Definition T1_ON_T2 = of(
            "t1 bright part t2 ratio",
            "",
            "1",
            "Median T2-weighted signal of the part that is bright on T1 over that of the rest of the lesion; below 1 it drops.",
            COMMON);
    public static final Definition NON_ENHANCING_FRACTION = of(
            "non-enhancing fraction",
            "",
            "1",
            "Share of the lesion whose signal does not rise beyond the noise after contrast; voxels at the border between"
                    + " the two count by how far their rise lies from that of the enhancing tissue around.",
            COMMON);
    public static final Definition NON_ENHANCING_BY_PERCENT = of(
            "non-enhancing fraction by percentage",
            "",
            "1",
            "Share of the lesion whose signal never rises by the settings' percentage, 10 % as standard; beside the test"
                    + " against noise, for comparison with papers.",
            COMMON);
    public static final Definition NON_ENHANCING_POCKET = of(
            "largest non-enhancing pocket",
            "",
            "mm3",
            "Volume of the largest non-enhancing part, connected by faces, edges or corners; 0 if there is none.",
            COMMON);
    public static final Definition POCKET_CENTRALITY = of(
            "non-enhancing pocket centrality",
            "",
            "1",
            "Mean over the largest pocket of the share of the lesion's voxels that lie nearer to its surface: above 0.5"
                    + " central, below peripheral.",
            COMMON);
    public static final Definition POCKET_BORDER = of(
            "non-enhancing pocket border width",
            "",
            "mm",
            "Distance over which the mean rise of the signal goes from 10 % to 90 % of its step across the largest"
                    + " pocket's border; includes the width that voxels give.",
            COMMON);
    public static final Definition RELATIVE_ENHANCEMENT = of(
            "relative enhancement",
            "",
            "%",
            "100 (S_t - S_0) / S_0 with S the mean signal of the lesion before (0) and after contrast (t), less what voxels at"
                    + " its border hold of the tissue outside.",
            "formula standard");
    public static final Definition EARLY_RATIO = of(
            "early enhancement ratio",
            "",
            "1",
            "Relative enhancement of the lesion over that of the myometrium in the last phase up to 60 s after injection.",
            "early phase as in Goto et al. 2002");
    public static final Definition TIME_TO_PEAK =
            of("time to peak", "", "s", "Time after injection of the phase with the highest mean signal.", COMMON);
    public static final Definition WASH_IN = of(
            "wash-in slope",
            "",
            "%/s",
            "Steepest rise of the mean signal's relative enhancement between phases that follow each other, injection"
                    + " counting as time 0 with 0 %.",
            COMMON);
    public static final Definition WASH_OUT = of(
            "wash-out slope",
            "",
            "%/s",
            "Change of the mean signal's relative enhancement per second from its peak to the last phase; 0 if the peak"
                    + " is the last.",
            COMMON);
    public static final Definition PERSISTENT_SHARE =
            curve("persistent", "is more than the settings' cut-off, 10 % as standard, above its highest up to 120 s");
    public static final Definition PLATEAU_SHARE =
            curve("plateau", "is within the settings' cut-off, 10 % as standard, of its highest up to 120 s");
    public static final Definition WASH_OUT_SHARE =
            curve("wash-out", "is more than the settings' cut-off, 10 % as standard, below its highest up to 120 s");
    public static final Definition ENHANCEMENT_HETEROGENEITY = of(
            "enhancement heterogeneity",
            "",
            "1",
            "Standard deviation over mean of the relative enhancement in the lesion, in the last phase, less what the"
                    + " noise adds to it; without the voxels at its border in the slices.",
            COMMON);
    public static final Definition DWI_RATIO = of(
            "dwi signal ratio to reference",
            "",
            "1",
            "Mean signal of the lesion over that of the reference region at the highest b-value; one row per tissue.",
            COMMON);
    public static final Definition SHINE_THROUGH = of(
            "t2 shine-through",
            "",
            "1",
            "1 if the lesion is as bright as endometrium at the highest b-value but its mean ADC is not under the cut-off"
                    + " for restricted diffusion, else 0.",
            "pattern: Hindman et al., Radiology 2023 (DWI against endometrium), common practice for the name");
    public static final Definition BLACKOUT = of(
            "t2 blackout",
            "",
            "1",
            "1 if the lesion is darker than endometrium at the highest b-value, its mean ADC is under the cut-off and its"
                    + " T2 signal is at most the settings' multiple of muscle's, else 0.",
            COMMON);
    public static final Definition ADC_MEAN = adc("adc mean", "Mean of the ADC in the lesion" + SAMPLE);
    public static final Definition ADC_MINIMUM_REGION = adc(
            "adc minimum region",
            "Smallest mean of the ADC over a ball of the settings' radius, 5 mm as standard, that lies wholly in the"
                    + " lesion and outside what does not enhance or is bright on T1, less what noise adds to its depth.");
    public static final Definition ADC_SKEWNESS =
            of("adc skewness", "", "1", "Skewness of the ADC in the lesion, from population moments" + SAMPLE, COMMON);
    public static final Definition ADC_KURTOSIS = of(
            "adc kurtosis",
            "",
            "1",
            "Excess kurtosis of the ADC in the lesion, from population moments" + SAMPLE,
            COMMON);
    public static final Definition RESTRICTED_FRACTION = of(
            "restricted fraction",
            "",
            "1",
            "Share of the lesion whose ADC lies under the cut-off of the settings, 0.905 as standard" + SAMPLE,
            "cut-off: Abdel Wahab et al., Radiology 2020;297:361; as a share of voxels: common practice, no source");

    /** By percent. */
    static final Map<Integer, Definition> ADC_PERCENTILES = adcPercentiles();

    public static final Definition PART_VOLUME = of(
            "part volume",
            "",
            "mm3",
            "Share of the lesion that is enhancing, non-enhancing, haemorrhagic (bright on T1), cystic (as bright as fluid on T2"
                    + " and not known to enhance) or restricted (ADC under the cut-off where the tissue is not known to be dead),"
                    + " times its volume; the last three lie within the first two. One row per part.",
            OURS);
    public static final Definition PART_CONFIDENCE = of(
            "part confidence",
            "",
            "1",
            "Mean over the part's voxels of the probability that noise alone did not put them on its side of the limit; 0.5"
                    + " where the noise is not known. One row per part that there is.",
            OURS);

    private static final List<Definition> ADC = Stream.of(
                    Stream.of(ADC_MEAN),
                    ADC_PERCENTILES.values().stream(),
                    Stream.of(ADC_MINIMUM_REGION, ADC_SKEWNESS, ADC_KURTOSIS, RESTRICTED_FRACTION))
            .flatMap(Function.identity())
            .toList();

    private LesionDefinitions() {}

    /** The whole registry, in the order of the table. */
    public static List<Definition> all() {
        return Stream.of(
                        List.of(VOLUME, LONGEST_DIAMETER, SPHERICITY, SOLIDITY),
                        marginShape(),
                        marginSharpness(),
                        t2(),
                        t1(),
                        enhancement(),
                        dwi(),
                        adc(),
                        List.of(PART_VOLUME, PART_CONFIDENCE))
                .flatMap(List::stream)
                .toList();
    }

    /** What is measured of the outline alone, beyond the standard's shape. */
    public static List<Definition> marginShape() {
        return Stream.concat(
                        Stream.of(MARGIN_ROUGHNESS, MARGIN_SPECTRUM, LOBULATION_COUNT, LOBULATION_DEPTH),
                        marginInSlices().stream())
                .toList();
    }

    /** What is measured of the outline slice by slice. */
    public static List<Definition> marginInSlices() {
        return List.of(SLICE_CIRCULARITY, SLICE_CONVEXITY, SLICE_BENDING, SLICE_RADIAL_ENTROPY, SLICE_DIMENSION);
    }

    /** What is measured of the signal's step across the border. */
    public static List<Definition> marginSharpness() {
        return List.of(MARGIN_SHARPNESS, SHARPNESS_MYOMETRIUM, SHARPNESS_OTHER, ILL_DEFINED);
    }

    /** What is measured on T2-weighted images, beyond shape. */
    public static List<Definition> t2() {
        return Stream.concat(t2Signal().stream(), Stream.of(T2_VARIATION, T2_ENTROPY))
                .toList();
    }

    /** What is measured on T2-weighted images beyond the standard's statistics. */
    public static List<Definition> t2Signal() {
        return List.of(
                T2_TO_MUSCLE,
                T2_TO_MYOMETRIUM,
                T2_CLASS,
                T2_QUARTILE_RANGE,
                T2_BRIGHT_FRACTION,
                T2_BRIGHT_BORDER,
                T2_FLUID_FRACTION,
                T2_DARK_FRACTION);
    }

    /** What is measured on T1-weighted images. */
    public static List<Definition> t1() {
        return Stream.concat(Stream.of(T1_TO_MUSCLE, T1_TO_MYOMETRIUM), t1Bright().stream())
                .toList();
    }

    /** What is measured of the part that is bright on T1. */
    public static List<Definition> t1Bright() {
        return List.of(T1_BRIGHT_FRACTION, T1_RIM_INDEX, T1_BRIGHT_PIECES, T1_LARGEST_PIECE, T1_PATTERN, T1_ON_T2);
    }

    /** What is measured before and after contrast. */
    public static List<Definition> enhancement() {
        return List.of(
                NON_ENHANCING_FRACTION,
                NON_ENHANCING_BY_PERCENT,
                NON_ENHANCING_POCKET,
                POCKET_CENTRALITY,
                POCKET_BORDER,
                RELATIVE_ENHANCEMENT,
                EARLY_RATIO,
                TIME_TO_PEAK,
                WASH_IN,
                WASH_OUT,
                PERSISTENT_SHARE,
                PLATEAU_SHARE,
                WASH_OUT_SHARE,
                ENHANCEMENT_HETEROGENEITY);
    }

    /** What is measured on the diffusion-weighted images themselves, with the ADC beside them. */
    public static List<Definition> dwi() {
        return List.of(DWI_RATIO, SHINE_THROUGH, BLACKOUT);
    }

    /** What is measured on the ADC map. */
    public static List<Definition> adc() {
        return ADC;
    }

    private static Map<Integer, Definition> adcPercentiles() {
        Map<Integer, Definition> percentiles = new LinkedHashMap<>();
        for (int percent : new int[] {5, 10, 25, 50, 75, 90, 95})
            percentiles.put(
                    percent,
                    adc(
                            String.format(Locale.ROOT, "adc p%02d", percent),
                            (percent == 50 ? "Median" : percent + "th percentile")
                                    + " of the ADC in the lesion, linear between order statistics (type 7)" + SAMPLE));
        return Collections.unmodifiableMap(percentiles);
    }

    private static Definition curve(String shape, String meaning) {
        return of(
                shape + " curve share",
                "",
                "1",
                "Share of the lesion's enhancing voxels whose signal in the last phase " + meaning + ".",
                COMMON);
    }

    private static Definition adc(String feature, String meaning) {
        return of(feature, "", ADC_UNIT, meaning, COMMON);
    }

    private static Definition of(String feature, String code, String unit, String meaning, String source) {
        return new Definition("lesion", feature, code, unit, meaning, source);
    }
}
