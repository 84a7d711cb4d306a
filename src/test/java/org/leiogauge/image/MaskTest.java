// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.image;

import static org.assertj.core.api.Assertions.assertThat;
import static org.assertj.core.api.Assertions.assertThatThrownBy;

import org.junit.jupiter.api.Test;

class MaskTest {
    // Oracle: counted one by one.
    @Test
    void voxelsAreCountedWhateverTheirNumber() {
        for (int length = 1; length < 40; length++) {
            byte[] voxels = new byte[length];
            int expected = 0;
            for (int i = 0; i < length; i++) expected += voxels[i] = (byte) (i * 5 % 3 == 1 ? 1 : 0);
            assertThat(new Mask(Solids.grid(length, 1, 1, 1, 1, 1), voxels).count())
                    .isEqualTo(expected);
        }
    }

    @Test
    void anythingBut0And1IsRefusedWhereverItStands() {
        for (int at = 0; at < 21; at++)
            for (byte wrong : new byte[] {2, -1, Byte.MIN_VALUE}) {
                byte[] voxels = new byte[21];
                voxels[at] = wrong;
                assertThatThrownBy(() -> new Mask(Solids.grid(21, 1, 1, 1, 1, 1), voxels))
                        .isInstanceOf(IllegalArgumentException.class)
                        .hasMessage("voxels must be 0 or 1, got " + wrong);
            }
    }
}
