// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.BasicStroke;
import java.awt.Font;
import java.awt.FontMetrics;
import java.awt.Graphics2D;
import java.awt.geom.Line2D;
import java.util.ArrayList;
import java.util.List;
import org.leiogauge.image.Grid;
import org.leiogauge.image.Vector;

/** What is said of a series over its image: which it is and which slice, the patient's sides, a length. For the event thread. */
final class LabelPainter {
    private LabelPainter() {}

    /** @param font of the pane */
    static void paint(Graphics2D g, View view, Lightbox.Slot shown, Font font) {
        Picture picture = shown.picture().orElseThrow();
        int left = UIScale.scale(12);
        int line = UIScale.scale(17);
        int room = view.width() - left - UIScale.scale(6);
        g.setFont(font.deriveFont(Font.BOLD, UIScale.scale(13f)));
        String title = EdgedText.fitted(g.getFontMetrics(), picture.title(), room);
        EdgedText.paint(g, title, left, line + UIScale.scale(3), EdgedText.LIGHT);
        g.setFont(font.deriveFont(UIScale.scale(11f)));
        String below =
                EdgedText.fitted(g.getFontMetrics(), frameAndSlice(picture.frameWords(shown.frame()), view), room);
        EdgedText.paint(g, below, left, 2 * line + UIScale.scale(2), EdgedText.DIM);
        sides(g, view);
        scaleBar(g, view);
    }

    private static String frameAndSlice(String frame, View view) {
        String slice =
                "slice " + (view.slice() + 1) + " of " + view.grid().size().z();
        return frame.isEmpty() ? slice : frame + ", " + slice;
    }

    private static void sides(Graphics2D g, View view) {
        Grid grid = view.grid();
        Vector x = grid.direction().x();
        Vector y = grid.direction().y();
        FontMetrics metrics = g.getFontMetrics();
        int edge = UIScale.scale(14);
        int middleY = view.height() / 2 + metrics.getAscent() / 2;
        int right = view.width() - edge - metrics.charWidth('W');
        EdgedText.paint(g, x.times(-1).patientSide(), edge, middleY, EdgedText.LIGHT);
        EdgedText.paint(g, x.patientSide(), right, middleY, EdgedText.LIGHT);
        EdgedText.paint(g, y.patientSide(), view.width() / 2, view.height() - edge, EdgedText.LIGHT);
    }

    private static void scaleBar(Graphics2D g, View view) {
        double mm = 100;
        for (double next : new double[] {50, 20, 10, 5, 2, 1})
            if (mm * view.pixelsPerMm() > view.width() / 4.0) mm = next;
        int length = (int) Math.round(mm * view.pixelsPerMm());
        int right = view.width() - UIScale.scale(26);
        int base = view.height() - UIScale.scale(12);
        g.setColor(EdgedText.DIM);
        g.setStroke(new BasicStroke(UIScale.scale(2f)));
        g.draw(new Line2D.Double(right - length, base, right, base));
        String words = (int) mm + " mm";
        int left = right - g.getFontMetrics().stringWidth(words);
        EdgedText.paint(g, words, left, base - UIScale.scale(5), EdgedText.DIM);
    }

    /** What is said in the place of a series without an image, in the middle of so many pixels. */
    static void blank(Graphics2D g, Lightbox.Slot shown, int width, int height, Font font) {
        g.setFont(font.deriveFont(UIScale.scale(13f)));
        FontMetrics metrics = g.getFontMetrics();
        String why = shown.problem().isEmpty() ? "is being read" : shown.problem();
        List<String> lines = new ArrayList<>(List.of(Picture.title(shown.series())));
        lines.addAll(EdgedText.wrapped(metrics, why, width - UIScale.scale(30)));
        int y = height / 2 - metrics.getHeight() * lines.size() / 2;
        for (String line : lines) {
            int left = (width - metrics.stringWidth(line)) / 2;
            EdgedText.paint(g, line, left, y, y > height / 2 ? EdgedText.DIM : EdgedText.LIGHT);
            y += metrics.getHeight();
        }
    }
}
