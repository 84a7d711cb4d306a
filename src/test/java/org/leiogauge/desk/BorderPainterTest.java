// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import static org.assertj.core.api.Assertions.assertThat;

import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import org.junit.jupiter.api.Test;
import org.leiogauge.image.DirectionCosines;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Point;
import org.leiogauge.image.Size;
import org.leiogauge.image.Spacing;

class BorderPainterTest {
    private static final Grid GRID =
            new Grid(new Size(20, 20, 3), new Spacing(1, 1, 1), DirectionCosines.AXIAL, new Point(0, 0, 0));

    @Test
    void anotherDrawingShowsItsOwnBorderThoughItHasChangedAsOften() {
        DrawnLesion lesion = new DeskModel().lesion();
        BorderPainter painter = new BorderPainter(lesion);
        lesion.put(0, square(2, 6));
        BufferedImage first = painted(painter);
        lesion.put(0, square(9, 17));
        // Oracle: a painter that has seen no other drawing.
        assertThat(pixels(painted(painter))).isEqualTo(pixels(painted(new BorderPainter(lesion))));
        assertThat(pixels(painted(painter))).isNotEqualTo(pixels(first));
    }

    private static Mask square(int from, int to) {
        byte[] inside = new byte[GRID.size().voxels()];
        for (int y = from; y <= to; y++) for (int x = from; x <= to; x++) inside[GRID.offset(x, y, 1)] = 1;
        return new Mask(GRID, inside);
    }

    private static BufferedImage painted(BorderPainter painter) {
        BufferedImage image = new BufferedImage(200, 200, BufferedImage.TYPE_INT_ARGB);
        Graphics2D g = image.createGraphics();
        painter.paint(g, new View(GRID, 1, new Point(10, 10, 1), 10, 200, 200));
        g.dispose();
        return image;
    }

    private static int[] pixels(BufferedImage image) {
        return image.getRGB(0, 0, 200, 200, null, 0, 200);
    }
}
