// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.stability;

import org.leiogauge.table.Interval;

/**
 * How far the way of measuring itself may lead one value from the truth: what coarse voxels, mixed tissue and the shapes of
 * the formulas do, which no draw shows.
 *
 * <p>Half-width h = absolute + relative · |value| + ofSpread · spread, the last for ADC values in a lesion whose 90th percentile
 * of the ADC is so far from its 10th: where voxels hold two tissues, percentiles err by as much as these differ. With the draws' interval from l to u the stated one goes from value −
 * √((value − l)² + h²) to value + √((u − value)² + h²), cut to what the feature can be.
 *
 * <p>Source: two independent parts of an uncertainty add in quadrature: JCGM 100:2008, Guide to the expression of
 * uncertainty in measurement, 5.1.2.
 *
 * @param absolute in the value's unit
 * @param relative share of the value's size
 * @param ofSpread share of the lesion's own spread
 * @param least smallest value that the feature can have
 * @param most largest
 * @param range by how much the feature differs between lesions, in its unit; 0: not known
 */
public record MethodError(double absolute, double relative, double ofSpread, double least, double most, double range) {
    /** Nothing is known of it: the draws alone count. */
    public static final MethodError NONE =
            new MethodError(0, 0, 0, Double.NEGATIVE_INFINITY, Double.POSITIVE_INFINITY, 0);

    public MethodError {
        if (!(absolute >= 0 && relative >= 0 && ofSpread >= 0 && range >= 0 && least < most))
            throw new IllegalArgumentException(
                    "absolute, relative, ofSpread and range must be 0 or more and least below most, got " + absolute
                            + ", " + relative + ", " + ofSpread + ", " + range + ", " + least + " to " + most);
    }

    /** That of a value of a lesion with this spread. */
    public MethodError in(double spread) {
        return new MethodError(absolute + ofSpread * spread, relative, 0, least, most, range);
    }

    /**
     * Of a value of a lesion without a spread.
     *
     * @param draws holds the value
     */
    public Interval widen(double value, Interval draws) {
        double half = absolute + relative * Math.abs(value);
        if (half == 0) return draws;
        return new Interval(
                Math.min(value, Math.max(least, value - Math.hypot(value - draws.low(), half))),
                Math.max(value, Math.min(most, value + Math.hypot(draws.high() - value, half))));
    }

    /**
     * Whether an interval is wide against the value's size or, if that is more, the feature's range; a share, which near 0
     * has no size of its own, is compared with 1.
     *
     * @param share of that size from which on it is wide
     */
    public boolean isWide(double value, Interval interval, double share) {
        boolean mayBeShare = range == 0 ? interval.low() >= 0 && interval.high() <= 1 : least == 0 && most == 1;
        double size = mayBeShare ? 1 : Math.max(Math.abs(value), range);
        return interval.high() - interval.low() > share * size;
    }
}
