// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;
import org.leiogauge.image.Volume;

class LayersTest {
    private static final Grid AXIAL =
            new Grid(new Size(10, 12, 9), new Spacing(3, 3, 3), DirectionCosines.AXIAL, new Point(-14, -16, -12));

    private int told;
    private final Layers layers = new Layers(() -> told++);

    @Test
    void mapsAreShownInTurnAndAnOlderOneGivesWay() {
        Volume volume = new Volume(AXIAL, new float[AXIAL.size().voxels()]);
        layers.add(Layer.map("ADC", volume, 0, 3, ""));
        layers.add(Layer.map("enhancement", volume, 0, 200, "%"));
        layers.next(0);
        assertThat(layers.shown()).extracting(Layer::title).containsExactly("ADC");
        layers.next(0);
        layers.next(1);
        assertThat(layers.shown()).extracting(Layer::title).containsExactly("enhancement", "ADC");
        layers.next(0);
        assertThat(layers.shown()).extracting(Layer::title).containsExactly("ADC");
        layers.add(Layer.map("ADC", volume, 0, 2, ""));
        assertThat(layers.all()).hasSize(2);
        layers.remove("ADC");
        assertThat(layers.shown()).isEmpty();
    }

    @Test
    void whoListensIsToldOfAChangeAndOfNothingElse() {
        layers.add(Layer.map("ADC", new Volume(AXIAL, new float[AXIAL.size().voxels()]), 0, 3, ""));
        layers.remove("enhancement");
        layers.begin();
        // Oracle: by hand: one was added, none of that title taken away, and of another study the whole desk tells.
        assertThat(told).isEqualTo(1);
    }
}
