// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.within;

import org.junit.jupiter.api.Test;

class PostTestTest {
    // Oracle: SciPy 1.10.1; the distribution function as a one-dimensional integral over sensitivity (20 000 points of
    // scipy.stats.beta.ppf, exact beta.cdf in specificity), its percentiles by brentq. Tolerance 2 % of the value, as
    // 200
    // parts give; 6 % in the tail where a row has an empty cell.
    @Test
    void medianAndLimitsMatchAnIntegral() {
        Counts consensus = new Counts(12, 4, 1, 23);
        assertClose(PostTest.of(consensus, true, 1 / 498.0), 0.02936045, 0.0078038, 0.24681464, 0.01);
        assertClose(PostTest.of(consensus, false, 1 / 498.0), 0.00054641, 0.00019383, 0.00106056, 0.01);
        Counts grades = new Counts(23, 4, 25, 261);
        assertClose(PostTest.of(grades, true, 0.01), 0.0879439, 0.06099257, 0.12858713, 0.01);
        assertClose(PostTest.of(grades, false, 0.01), 0.00168892, 0.00057756, 0.00348138, 0.01);
        Counts perfect = new Counts(8, 0, 0, 95);
        assertClose(PostTest.of(perfect, true, 1 / 498.0), 0.44283744, 0.06734281, 0.99729009, 0.06);
        assertClose(PostTest.of(perfect, false, 1 / 498.0), 5.49745700e-05, 1.20375910e-07, 5.30120959e-04, 0.06);
    }

    // Oracle: as above, the two distribution functions mixed 71 to 29.
    @Test
    void drawsOnBothSidesOfTheCutOffWidenTheInterval() {
        PostTest mixed = PostTest.of(new Counts(12, 4, 1, 23), 0.71, 1 / 498.0);
        assertClose(mixed, 0.0191017518, 0.0002786324, 0.2050230689, 0.01);
    }

    private static void assertClose(PostTest found, double median, double low, double high, double share) {
        assertThat(found.median()).isCloseTo(median, within(share * median));
        assertThat(found.interval().low()).isCloseTo(low, within(share * low));
        assertThat(found.interval().high()).isCloseTo(high, within(share * high));
    }
}
