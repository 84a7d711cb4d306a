// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.Graphics2D;
import java.awt.Shape;
import java.awt.geom.Path2D;
import java.awt.geom.Rectangle2D;
import java.awt.image.BufferedImage;
import org.leiogauge.image.Mask;
import org.leiogauge.image.Volume;

/** Two images of one slice in squares by turns: where borders run on from square to square, the images lie on each other. */
final class CheckerPicture {
    private static final double SQUARE_MM = 15;

    private CheckerPicture() {}

    /**
     * @param fixed of one slice; in the square at the upper left
     * @param moved on the same grid
     * @param mask the lesion on it
     */
    static BufferedImage draw(Volume fixed, Volume moved, Mask mask) {
        SliceView view = new SliceView(fixed.grid());
        BufferedImage picture = view.picture(0);
        Graphics2D g = SliceView.smooth(picture);
        view.draw(g, SliceView.grey(fixed));
        Shape whole = g.getClip();
        g.setClip(
                squares(view, SQUARE_MM * view.scaleX() / fixed.grid().spacing().x()));
        view.draw(g, SliceView.grey(moved));
        g.setClip(whole);
        view.outline(g, mask);
        view.directions(g);
        g.dispose();
        return picture;
    }

    private static Path2D squares(SliceView view, double side) {
        Path2D squares = new Path2D.Double();
        for (int row = 0; row * side < view.height(); row++)
            for (int column = (row + 1) % 2; column * side < SliceView.WIDTH; column += 2)
                squares.append(new Rectangle2D.Double(column * side, row * side, side, side), false);
        return squares;
    }
}
