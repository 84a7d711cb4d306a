// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class NaturalFrequencyTest {
    // Oracle: by hand. Of 10 000 at 1 in 495, 20.2 are ill; 12 of 16 are 15.2 of them, 1 of 24 is 415.8 of 9979.8.
    @Test
    void womenAreCountedInWholeOnes() {
        assertThat(NaturalFrequency.sentence(new Counts(12, 4, 1, 23), true, 1 / 495.0, "leiomyosarcoma"))
                .isEqualTo(
                        "Of 10 000 women like this about 20 have leiomyosarcoma; about 15 of these and about 420 of the "
                                + "others meet the criterion. So of about 435 women who meet the criterion, about 15 have it and "
                                + "about 420 do not.");
    }

    // Oracle: by hand. Of 1 000 at 10 % 100 are ill; 9 of 10 and 4 of 100: 90 and 36 positive, 10 and 864 negative.
    @Test
    void theUsualThousandIsTakenWhereTheDiseaseIsCommon() {
        Counts counts = new Counts(9, 1, 4, 96);
        assertThat(NaturalFrequency.sentence(counts, true, 0.1, "x"))
                .contains("Of 1 000 women like this about 100 have x; about 90 of these and about 36 of the others")
                .contains("of about 126 women");
        assertThat(NaturalFrequency.sentence(counts, false, 0.1, "x"))
                .contains("about 10 of these and about 860 of the others do not meet it")
                .contains("of about 870 women");
    }

    // Oracle: by hand. At 1 in a million even 1 000 000 women hold one; with ½ added 0.5 of 9 is 0.06 of her.
    @Test
    void whatIsRarerThanHalfAWomanIsFewerThanOne() {
        assertThat(NaturalFrequency.sentence(new Counts(8, 0, 1, 9), false, 1e-6, "x"))
                .startsWith("Of 1 000 000 women like this about 1 have x; fewer than 1 of these and about 860 000 of")
                .endsWith("half a woman is added to each.)");
    }
}
