// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.task;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;

class CountedTest {
    @Test
    void oneThingIsOneThing() {
        assertThat(Counted.of(0, "case")).isEqualTo("0 cases");
        assertThat(Counted.of(1, "case")).isEqualTo("1 case");
        assertThat(Counted.of(2, "case")).isEqualTo("2 cases");
    }
}
