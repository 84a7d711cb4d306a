// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.lesion;

import java.util.Map;
import java.util.Set;
import org.leiogauge.table.Definition;

/**
 * Which values a lesion-level feature can have by its definition, in its unit: no interval goes beyond them.
 *
 * <p>A share lies between 0 and 1, the difference of two between −1 and 1; an excess kurtosis is −2 or more, which two equal
 * peaks have; lengths, sizes, signals over others and the ADC are not negative.
 *
 * <p>Source: kurtosis: Pearson 1916, doi:10.1098/rsta.1916.0009, from memory; the others from the formulas.
 *
 * @param least negative infinity where there is none
 * @param most infinity where there is none
 */
public record Bounds(double least, double most) {
    private static final double NONE = Double.POSITIVE_INFINITY;
    private static final Bounds NOT_NEGATIVE = new Bounds(0, NONE);
    private static final Bounds SHARE = new Bounds(0, 1);
    private static final Bounds ANY = new Bounds(-NONE, NONE);

    private static final Set<Definition> SHARES = Set.of(
            LesionDefinitions.SPHERICITY,
            LesionDefinitions.SOLIDITY,
            LesionDefinitions.ILL_DEFINED,
            LesionDefinitions.T2_BRIGHT_FRACTION,
            LesionDefinitions.T2_FLUID_FRACTION,
            LesionDefinitions.T2_DARK_FRACTION,
            LesionDefinitions.T1_BRIGHT_FRACTION,
            LesionDefinitions.T1_LARGEST_PIECE,
            LesionDefinitions.NON_ENHANCING_FRACTION,
            LesionDefinitions.NON_ENHANCING_BY_PERCENT,
            LesionDefinitions.PERSISTENT_SHARE,
            LesionDefinitions.PLATEAU_SHARE,
            LesionDefinitions.WASH_OUT_SHARE,
            LesionDefinitions.RESTRICTED_FRACTION);
    private static final Map<Definition, Bounds> OTHER = Map.of(
            LesionDefinitions.T1_RIM_INDEX, new Bounds(-1, 1),
            LesionDefinitions.RELATIVE_ENHANCEMENT, ANY,
            LesionDefinitions.WASH_IN, ANY,
            LesionDefinitions.WASH_OUT, ANY,
            LesionDefinitions.ADC_SKEWNESS, ANY,
            LesionDefinitions.ADC_KURTOSIS, new Bounds(-2, NONE));

    public static Bounds of(Definition feature) {
        return SHARES.contains(feature) ? SHARE : OTHER.getOrDefault(feature, NOT_NEGATIVE);
    }
}
