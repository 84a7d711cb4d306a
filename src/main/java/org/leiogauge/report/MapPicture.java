// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.image.BufferedImage;
import org.leiogauge.image.Box;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Volume;

/** One slice of a map in colour with the lesion's outline, above a colour bar with its unit. Black has no value. */
final class MapPicture {
    private static final int BAR = 16;
    private static final int BELOW = 66;
    private static final int SIDE = 36;
    private static final int TICKS = 5;

    private MapPicture() {}

    /**
     * @param low value of the bar's left end
     * @param high value of its right end
     */
    static BufferedImage draw(Volume map, Mask mask, double low, double high, String axis) {
        Box box = SliceView.around(map.grid(), mask, LesionPicture.largest(mask));
        Volume slice = map.crop(box);
        SliceView view = new SliceView(slice.grid());
        BufferedImage picture = view.picture(BELOW);
        Graphics2D g = SliceView.smooth(picture);
        view.draw(g, colours(slice, low, high));
        view.outline(g, mask.crop(box));
        view.directions(g);
        bar(g, view.height(), low, high, axis);
        g.dispose();
        return picture;
    }

    private static BufferedImage colours(Volume slice, double low, double high) {
        Size size = slice.grid().size();
        BufferedImage image = new BufferedImage(size.x(), size.y(), BufferedImage.TYPE_INT_RGB);
        float[] v = slice.voxels();
        for (int i = 0; i < v.length; i++)
            image.setRGB(
                    i % size.x(), i / size.x(), Float.isNaN(v[i]) ? 0 : ColourRamp.rgb((v[i] - low) / (high - low)));
        return image;
    }

    private static void bar(Graphics2D g, int top, double low, double high, String axis) {
        g.setColor(Color.WHITE);
        g.fillRect(0, top, SliceView.WIDTH, BELOW);
        int width = SliceView.WIDTH - 2 * SIDE;
        for (int x = 0; x < width; x++) {
            g.setColor(new Color(ColourRamp.rgb((x + 0.5) / width)));
            g.fillRect(SIDE + x, top + 6, 1, BAR);
        }
        g.setColor(Color.BLACK);
        g.setFont(ReportFont.regular(13));
        for (int tick = 0; tick <= TICKS; tick++) {
            double share = (double) tick / TICKS;
            String words = (tick == 0 ? "≤ " : tick == TICKS ? "≥ " : "")
                    + HtmlReport.digits(low + share * (high - low)).replace('-', '−');
            centred(g, words, SIDE + (int) (share * width), top + 6 + BAR + 15);
        }
        centred(g, axis, SliceView.WIDTH / 2, top + 6 + BAR + 34);
    }

    private static void centred(Graphics2D g, String words, int x, int base) {
        g.drawString(words, x - g.getFontMetrics().stringWidth(words) / 2, base);
    }
}
