// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Font;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Line2D;
import java.awt.image.BufferedImage;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.stream.IntStream;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * One slice of a series around the lesion, in grey, with the lesion's outline and the patient's directions at the edges.
 *
 * <p>The grey window runs from the 1st to the 99.5th percentile of what the picture shows. The outline follows the voxels'
 * edges: it shows what was measured, not a smoothed line.
 */
final class LesionPicture {
    private static final double MARGIN_MM = 30;
    private static final int WIDTH = 560;
    // Orange of the palette of Okabe and Ito 2008, told apart in all common forms of colour blindness.
    private static final Color OUTLINE = new Color(0xe69f00);
    private static final Color LETTERS = new Color(0xf2f2f2);

    private LesionPicture() {}

    /** The slice with most of the lesion, and those a quarter and three quarters of the way through it; in order. */
    static List<Integer> slices(Mask mask) {
        Box box = mask.boundingBox().orElseThrow();
        int largest = IntStream.rangeClosed(box.minZ(), box.maxZ())
                .boxed()
                .max(Comparator.comparingInt(z -> area(mask, z)))
                .orElseThrow();
        int extent = box.maxZ() - box.minZ();
        return IntStream.of(box.minZ() + extent / 4, largest, box.minZ() + (3 * extent + 2) / 4)
                .sorted()
                .distinct()
                .boxed()
                .toList();
    }

    static int area(Mask mask, int z) {
        Size size = mask.grid().size();
        int count = 0;
        for (int y = 0; y < size.y(); y++) for (int x = 0; x < size.x(); x++) if (mask.has(x, y, z)) count++;
        return count;
    }

    /** @param mask on the volume's grid */
    static BufferedImage draw(Volume volume, Mask mask, int z) {
        Grid grid = volume.grid();
        Box lesion = mask.boundingBox().orElseThrow();
        int marginX = (int) Math.ceil(MARGIN_MM / grid.spacing().x());
        int marginY = (int) Math.ceil(MARGIN_MM / grid.spacing().y());
        Box view = lesion.grow(marginX, marginY, 0).clip(grid.size());
        BufferedImage grey = grey(volume, view, z);
        double scale = WIDTH / (view.size().x() * grid.spacing().x());
        double scaleX = scale * grid.spacing().x();
        double scaleY = scale * grid.spacing().y();
        int height = (int) Math.round(view.size().y() * scaleY);
        BufferedImage picture = new BufferedImage(WIDTH, height, BufferedImage.TYPE_INT_RGB);
        Graphics2D g = picture.createGraphics();
        g.setRenderingHint(RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        g.drawImage(grey, 0, 0, WIDTH, height, null);
        drawOutline(g, mask, view, z, scaleX, scaleY);
        drawDirections(g, grid, WIDTH, height);
        g.dispose();
        return picture;
    }

    private static BufferedImage grey(Volume volume, Box view, int z) {
        Size size = view.size();
        float[] shown = new float[size.x() * size.y()];
        for (int y = 0; y < size.y(); y++)
            for (int x = 0; x < size.x(); x++) shown[y * size.x() + x] = volume.at(view.minX() + x, view.minY() + y, z);
        float[] sorted = shown.clone();
        Arrays.sort(sorted);
        float low = sorted[(int) (0.01 * (sorted.length - 1))];
        float high = sorted[(int) (0.995 * (sorted.length - 1))];
        BufferedImage grey = new BufferedImage(size.x(), size.y(), BufferedImage.TYPE_BYTE_GRAY);
        for (int i = 0; i < shown.length; i++) {
            double share = high > low ? (shown[i] - low) / (high - low) : 0.5;
            int level = (int) Math.round(255 * Math.max(0, Math.min(1, share)));
            grey.getRaster().setSample(i % size.x(), i / size.x(), 0, level);
        }
        return grey;
    }

    private static void drawOutline(Graphics2D g, Mask mask, Box view, int z, double scaleX, double scaleY) {
        g.setColor(OUTLINE);
        g.setStroke(new BasicStroke(2f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
        for (int y = view.minY(); y <= view.maxY(); y++)
            for (int x = view.minX(); x <= view.maxX(); x++) {
                if (!mask.has(x, y, z)) continue;
                double left = (x - view.minX()) * scaleX;
                double top = (y - view.minY()) * scaleY;
                double right = left + scaleX;
                double bottom = top + scaleY;
                if (isOutside(mask, x - 1, y, z)) g.draw(new Line2D.Double(left, top, left, bottom));
                if (isOutside(mask, x + 1, y, z)) g.draw(new Line2D.Double(right, top, right, bottom));
                if (isOutside(mask, x, y - 1, z)) g.draw(new Line2D.Double(left, top, right, top));
                if (isOutside(mask, x, y + 1, z)) g.draw(new Line2D.Double(left, bottom, right, bottom));
            }
    }

    private static boolean isOutside(Mask mask, int x, int y, int z) {
        Size size = mask.grid().size();
        return x < 0 || y < 0 || x >= size.x() || y >= size.y() || !mask.has(x, y, z);
    }

    private static void drawDirections(Graphics2D g, Grid grid, int width, int height) {
        g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
        g.setFont(new Font(Font.SANS_SERIF, Font.BOLD, 17));
        Vector x = grid.direction().x();
        Vector y = grid.direction().y();
        letter(g, direction(x.times(-1)), 14, height / 2);
        letter(g, direction(x), width - 14, height / 2);
        letter(g, direction(y.times(-1)), width / 2, 16);
        letter(g, direction(y), width / 2, height - 14);
    }

    private static void letter(Graphics2D g, String letter, int x, int y) {
        int left = x - g.getFontMetrics().stringWidth(letter) / 2;
        int base = y + g.getFontMetrics().getAscent() / 2 - 2;
        g.setColor(new Color(0, 0, 0, 150));
        g.fillRoundRect(x - 12, y - 12, 24, 24, 8, 8);
        g.setColor(LETTERS);
        g.drawString(letter, left, base);
    }

    // PS3.3 C.7.6.1.1.1, Patient Orientation: the main direction's letter.
    private static String direction(Vector v) {
        double x = Math.abs(v.x());
        double y = Math.abs(v.y());
        double z = Math.abs(v.z());
        if (x >= y && x >= z) return v.x() > 0 ? "L" : "R";
        if (y >= z) return v.y() > 0 ? "P" : "A";
        return v.z() > 0 ? "H" : "F";
    }
}
