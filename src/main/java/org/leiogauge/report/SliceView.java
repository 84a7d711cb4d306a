// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import java.util.Arrays;
import org.leiogauge.image.Box;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Size;
import org.leiogauge.image.Vector;
import org.leiogauge.image.Volume;

/**
 * One slice as it lies in a picture: where its voxels come to stand, and what all pictures of slices have in common.
 *
 * <p>The grey window runs from the 1st to the 99.5th percentile of what the picture shows. Outlines follow the voxels'
 * edges: they show what was measured, not a smoothed line.
 */
final class SliceView {
    static final int WIDTH = 520;
    private static final double MARGIN_MM = 30;
    // Orange of the palette of Okabe and Ito 2008, told apart in all common forms of colour blindness.
    private static final Color OUTLINE = new Color(0xe69f00);
    private static final Color LETTERS = new Color(0xf2f2f2);

    private final Grid grid;
    private final double scaleX;
    private final double scaleY;
    private final int height;

    /** @param grid of one slice */
    SliceView(Grid grid) {
        this.grid = grid;
        double scale = WIDTH / (grid.size().x() * grid.spacing().x());
        scaleX = scale * grid.spacing().x();
        scaleY = scale * grid.spacing().y();
        height = (int) Math.round(grid.size().y() * scaleY);
    }

    /** The part of a slice around the lesion. */
    static Box around(Grid grid, Mask mask, int z) {
        Box lesion = mask.boundingBox().orElseThrow();
        int marginX = (int) Math.ceil(MARGIN_MM / grid.spacing().x());
        int marginY = (int) Math.ceil(MARGIN_MM / grid.spacing().y());
        Box view = lesion.grow(marginX, marginY, 0).clip(grid.size());
        return new Box(view.minX(), view.minY(), z, view.maxX(), view.maxY(), z);
    }

    int height() {
        return height;
    }

    double scaleX() {
        return scaleX;
    }

    double scaleY() {
        return scaleY;
    }

    /** An empty picture with this much room below the slice. */
    BufferedImage picture(int below) {
        return new BufferedImage(WIDTH, height + below, BufferedImage.TYPE_INT_RGB);
    }

    static Graphics2D smooth(BufferedImage picture) {
        Graphics2D g = picture.createGraphics();
        g.setRenderingHint(RenderingHints.KEY_INTERPOLATION, RenderingHints.VALUE_INTERPOLATION_BILINEAR);
        g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
        g.setRenderingHint(RenderingHints.KEY_STROKE_CONTROL, RenderingHints.VALUE_STROKE_PURE);
        return g;
    }

    void draw(Graphics2D g, BufferedImage voxels) {
        g.drawImage(voxels, 0, 0, WIDTH, height, null);
    }

    /** Voxels in grey, one pixel each. */
    static BufferedImage grey(Volume slice) {
        float[] shown = slice.voxels();
        Size size = slice.grid().size();
        float[] sorted = new float[shown.length];
        int n = 0;
        for (float v : shown) if (!Float.isNaN(v)) sorted[n++] = v;
        sorted = Arrays.copyOf(sorted, n);
        Arrays.sort(sorted);
        float low = n == 0 ? 0 : sorted[(int) (0.01 * (n - 1))];
        float high = n == 0 ? 0 : sorted[(int) (0.995 * (n - 1))];
        BufferedImage grey = new BufferedImage(size.x(), size.y(), BufferedImage.TYPE_BYTE_GRAY);
        for (int i = 0; i < shown.length; i++) {
            double share = Float.isNaN(shown[i]) ? 0 : high > low ? (shown[i] - low) / (high - low) : 0.5;
            int level = (int) Math.round(255 * Math.max(0, Math.min(1, share)));
            grey.getRaster().setSample(i % size.x(), i / size.x(), 0, level);
        }
        return grey;
    }

    /** @param mask of this one slice */
    void outline(Graphics2D g, Mask mask) {
        g.setStroke(new BasicStroke(3.6f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
        g.setColor(new Color(0, 0, 0, 150));
        border(g, mask);
        g.setStroke(new BasicStroke(2f, BasicStroke.CAP_ROUND, BasicStroke.JOIN_ROUND));
        g.setColor(OUTLINE);
        border(g, mask);
    }

    /** The border of a mask of this one slice, in the colour and stroke that are set. */
    void border(Graphics2D g, Mask mask) {
        g.draw(border(mask));
    }

    // One shape: drawn edge by edge, a colour that is not opaque would lie twice on every corner.
    private Path2D border(Mask mask) {
        Path2D border = new Path2D.Double();
        Size size = grid.size();
        for (int y = 0; y <= size.y(); y++) alongX(border, mask, y);
        for (int x = 0; x <= size.x(); x++) alongY(border, mask, x);
        return border;
    }

    // Each straight run is one line.
    private void alongX(Path2D border, Mask mask, int y) {
        int from = -1;
        for (int x = 0; x <= grid.size().x(); x++) {
            boolean isEdge = isOutside(mask, x, y - 1) != isOutside(mask, x, y);
            if (isEdge && from < 0) from = x;
            if (isEdge || from < 0) continue;
            border.moveTo(from * scaleX, y * scaleY);
            border.lineTo(x * scaleX, y * scaleY);
            from = -1;
        }
    }

    private void alongY(Path2D border, Mask mask, int x) {
        int from = -1;
        for (int y = 0; y <= grid.size().y(); y++) {
            boolean isEdge = isOutside(mask, x - 1, y) != isOutside(mask, x, y);
            if (isEdge && from < 0) from = y;
            if (isEdge || from < 0) continue;
            border.moveTo(x * scaleX, from * scaleY);
            border.lineTo(x * scaleX, y * scaleY);
            from = -1;
        }
    }

    /** The area of a mask of this one slice: a bar for each run of voxels in a row. */
    Path2D area(Mask mask) {
        Path2D area = new Path2D.Double(Path2D.WIND_NON_ZERO);
        Size size = grid.size();
        for (int y = 0; y < size.y(); y++)
            for (int x = 0; x < size.x(); x++) {
                if (!mask.has(x, y, 0)) continue;
                int from = x;
                while (x + 1 < size.x() && mask.has(x + 1, y, 0)) x++;
                area.append(new Rectangle2D.Double(from * scaleX, y * scaleY, (x + 1 - from) * scaleX, scaleY), false);
            }
        return area;
    }

    private static boolean isOutside(Mask mask, int x, int y) {
        Size size = mask.grid().size();
        return x < 0 || y < 0 || x >= size.x() || y >= size.y() || !mask.has(x, y, 0);
    }

    /** The patient's directions at the edges. */
    void directions(Graphics2D g) {
        g.setFont(ReportFont.bold(15));
        Vector x = grid.direction().x();
        Vector y = grid.direction().y();
        letter(g, x.times(-1).patientSide(), 14, height / 2);
        letter(g, x.patientSide(), WIDTH - 14, height / 2);
        letter(g, y.times(-1).patientSide(), WIDTH / 2, 14);
        letter(g, y.patientSide(), WIDTH / 2, height - 14);
    }

    private static void letter(Graphics2D g, String letter, int x, int y) {
        int left = x - g.getFontMetrics().stringWidth(letter) / 2;
        int base = y + g.getFontMetrics().getAscent() / 2 - 2;
        g.setColor(new Color(0, 0, 0, 150));
        g.fillRoundRect(x - 12, y - 12, 24, 24, 8, 8);
        g.setColor(LETTERS);
        g.drawString(letter, left, base);
    }
}
