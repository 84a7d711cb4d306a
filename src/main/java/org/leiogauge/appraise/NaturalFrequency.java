// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.math.BigDecimal;
import java.math.MathContext;

/**
 * What counts and prevalence mean in women rather than in percent: "of 10 000 women like this, about 20 have …".
 *
 * <p>So many women are taken that at least ten have the disease, from 1 000 to 1 000 000. Numbers are rounded to whole women,
 * from 100 on to two digits that count, and what is less than half a woman is called fewer than one.
 */
final class NaturalFrequency {
    private static final long MOST = 1_000_000;

    private NaturalFrequency() {}

    /**
     * The sentence for one result.
     *
     * @param met whether the criterion is met
     * @param disease what the counts count
     */
    static String sentence(Counts counts, boolean met, double prevalence, String disease) {
        long women = 1000;
        while (women < MOST && women * prevalence < 10) women *= 10;
        boolean empty = Math.min(
                        Math.min(counts.truePositive(), counts.falseNegative()),
                        Math.min(counts.falsePositive(), counts.trueNegative()))
                == 0;
        double half = empty ? 0.5 : 0;
        double ill = women * prevalence;
        double sensitivity = (counts.truePositive() + half) / (counts.diseased() + 2 * half);
        double specificity = (counts.trueNegative() + half) / (counts.healthy() + 2 * half);
        double illSo = ill * (met ? sensitivity : 1 - sensitivity);
        double wellSo = (women - ill) * (met ? 1 - specificity : specificity);
        String result = met ? "meet the criterion" : "do not meet it";
        long all = Math.max(1, rounded(illSo) + rounded(wellSo));
        return "Of " + Figures.whole(women) + " women like this " + about(ill) + " have " + disease + "; "
                + about(illSo)
                + " of these and " + about(wellSo) + " of the others " + result + ". So of about " + Figures.whole(all)
                + " women who " + result + ", " + about(illSo) + " have it and " + about(wellSo) + " do not."
                + (empty ? " (A cell of the counts is empty; half a woman is added to each.)" : "");
    }

    // From 100 on to two digits that count: the counts behind them bear no more.
    private static long rounded(double women) {
        long whole = Math.round(women);
        return whole < 100
                ? whole
                : new BigDecimal(whole).round(new MathContext(2)).longValueExact();
    }

    private static String about(double women) {
        if (women < 0.5) return "fewer than 1";
        return "about " + Figures.whole(rounded(women));
    }
}
