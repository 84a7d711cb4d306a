// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import static org.junit.jupiter.api.Assertions.assertEquals;

import java.awt.image.BufferedImage;
import java.io.ByteArrayInputStream;
import java.io.IOException;
import java.util.SplittableRandom;
import javax.imageio.ImageIO;
import org.junit.jupiter.api.Test;

class PngTest {
    // Oracle: the Java platform's PNG reader gives back every pixel.
    @Test
    void platformReadsBackWhatWasWritten() throws IOException {
        assertReadBack(noise(1, 1));
        assertReadBack(noise(7, 5));
        assertReadBack(noise(300, 200));
        assertReadBack(smooth(520, 400));
    }

    private static BufferedImage noise(int width, int height) {
        SplittableRandom random = new SplittableRandom(width);
        BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
        for (int y = 0; y < height; y++) for (int x = 0; x < width; x++) image.setRGB(x, y, random.nextInt(1 << 24));
        return image;
    }

    // Rows that suit each of the filters: along the row, down the columns, along the diagonal.
    private static BufferedImage smooth(int width, int height) {
        BufferedImage image = new BufferedImage(width, height, BufferedImage.TYPE_INT_RGB);
        for (int y = 0; y < height; y++)
            for (int x = 0; x < width; x++) {
                int v = y < height / 3 ? x / 3 : y < 2 * height / 3 ? x * x % 251 : (x * x + 7 * y) % 256;
                image.setRGB(x, y, v << 16 | (255 - v & 0xff) << 8 | v / 2);
            }
        return image;
    }

    private static void assertReadBack(BufferedImage image) throws IOException {
        BufferedImage back = ImageIO.read(new ByteArrayInputStream(Png.of(image)));
        assertEquals(image.getWidth(), back.getWidth());
        assertEquals(image.getHeight(), back.getHeight());
        for (int y = 0; y < image.getHeight(); y++)
            for (int x = 0; x < image.getWidth(); x++)
                assertEquals(image.getRGB(x, y), back.getRGB(x, y), "at " + x + ", " + y);
    }
}
