// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.util.List;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/** Parts of the lesion laid over one slice, each see-through in its own colour and its own pattern, with a legend below. */
final class PartsPicture {
    private static final int LINE = 26;
    private static final double STEP = 10;

    private PartsPicture() {}

    /** How a part is drawn; colours from the palette of Okabe and Ito 2008. */
    enum Look {
        NON_ENHANCING("not enhancing", 0x56b4e9, "rising lines"),
        T1_BRIGHT("bright on T1", 0xd55e00, "dots"),
        CYSTIC("fluid that does not enhance", 0x009e73, "falling lines"),
        T2_BRIGHT("bright on T2", 0xf0e442, "level lines"),
        RESTRICTED("ADC below the cut-off", 0xcc79a7, "falling lines");

        private final String words;
        private final Color colour;
        private final String pattern;

        Look(String words, int rgb, String pattern) {
            this.words = words;
            this.colour = new Color(rgb);
            this.pattern = pattern;
        }

        String words() {
            return words;
        }
    }

    /** @param mask on the slice's grid */
    record Part(Look look, Mask mask) {}

    /**
     * @param slice of one slice
     * @param lesion on its grid
     */
    static BufferedImage draw(Volume slice, Mask lesion, List<Part> parts) {
        SliceView view = new SliceView(slice.grid());
        BufferedImage picture = view.picture(10 + LINE * parts.size());
        Graphics2D g = SliceView.smooth(picture);
        view.draw(g, SliceView.grey(slice));
        for (Part part : parts) {
            fill(g, view.area(part.mask()), part.look());
            g.setStroke(new BasicStroke(1.6f));
            g.setColor(part.look().colour);
            view.border(g, part.mask());
        }
        view.outline(g, lesion);
        view.directions(g);
        legend(g, view.height(), parts);
        g.dispose();
        return picture;
    }

    private static void legend(Graphics2D g, int top, List<Part> parts) {
        g.setColor(Color.WHITE);
        g.fillRect(0, top, SliceView.WIDTH, 10 + LINE * parts.size());
        for (int i = 0; i < parts.size(); i++) {
            Look look = parts.get(i).look();
            int y = top + 8 + i * LINE;
            Rectangle2D box = new Rectangle2D.Double(8, y, 44, LINE - 6);
            g.setColor(new Color(0x555555));
            g.fill(box);
            fill(g, new Path2D.Double(box), look);
            g.setColor(Color.BLACK);
            g.setStroke(new BasicStroke(1f));
            g.draw(box);
            g.setFont(ReportFont.regular(14));
            g.drawString(
                    look.words + " (" + look.pattern + ")"
                            + (parts.get(i).mask().isEmpty() ? " – none on this slice" : ""),
                    62,
                    y + 15);
        }
    }

    private static void fill(Graphics2D g, Path2D area, Look look) {
        Shape whole = g.getClip();
        g.setColor(new Color(look.colour.getRed(), look.colour.getGreen(), look.colour.getBlue(), 45));
        g.fill(area);
        g.clip(area);
        Rectangle2D box = area.getBounds2D();
        // a dark line below the coloured one: on light and on dark ground one of them shows, in grey print too
        pattern(g, box, look, 3.2f, new Color(0, 0, 0, 120));
        pattern(g, box, look, 1.6f, look.colour);
        g.setClip(whole);
    }

    private static void pattern(Graphics2D g, Rectangle2D box, Look look, float width, Color colour) {
        g.setColor(colour);
        g.setStroke(new BasicStroke(width));
        double left = Math.floor(box.getMinX() / STEP) * STEP;
        double top = Math.floor(box.getMinY() / STEP) * STEP;
        double right = box.getMaxX();
        double bottom = box.getMaxY();
        switch (look) {
            case T2_BRIGHT -> {
                for (double y = top; y <= bottom; y += STEP) g.draw(new Line2D.Double(left, y, right, y));
            }
            case T1_BRIGHT -> {
                double r = 0.6 + width;
                for (double y = top; y <= bottom + STEP; y += STEP)
                    for (double x = left; x <= right + STEP; x += STEP)
                        g.fill(new Ellipse2D.Double(x - r / 2, y - r / 2, r, r));
            }
            // lines x + y or x - y of whole steps, so that they run on from part to part
            case NON_ENHANCING -> {
                for (double c = left + top; c <= right + bottom; c += STEP)
                    g.draw(new Line2D.Double(c - bottom, bottom, c - top, top));
            }
            case RESTRICTED, CYSTIC -> {
                for (double c = Math.floor((left - bottom) / STEP) * STEP; c <= right - top; c += STEP)
                    g.draw(new Line2D.Double(c + top, top, c + bottom, bottom));
            }
        }
    }
}
