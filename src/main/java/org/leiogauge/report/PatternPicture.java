// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.report;

import java.awt.BasicStroke;
import java.awt.Color;
import java.awt.Graphics2D;
import java.awt.geom.Ellipse2D;
import java.awt.geom.Line2D;
import java.awt.image.BufferedImage;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.PatternChart;
import org.leiogauge.appraise.PatternChart.Cell;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.SignReading;

/** The pattern chart as a picture: patterns down, signs across, the measured terms on top. Shapes carry the meaning, not colours. */
final class PatternPicture {
    private static final int LEFT = 200;
    private static final int CELL = 116;
    private static final int ROW = 34;
    private static final int TERMS = 52;
    private static final int HEAD = 118;
    private static final Color INK = new Color(0x1d2327);
    private static final Color SOFT = new Color(0x59636b);
    private static final Color LINE = new Color(0xd9dee2);
    // Blue and vermilion of the palette of Okabe and Ito 2008.
    private static final Color FOR = new Color(0x0072b2);
    private static final Color AGAINST = new Color(0xd55e00);

    private PatternPicture() {}

    static BufferedImage draw(PatternChart chart, List<SignReading> signs) {
        int rows = chart.rows().size();
        BufferedImage picture =
                new BufferedImage(LEFT + CELL * signs.size(), HEAD + ROW * rows + 40, BufferedImage.TYPE_INT_RGB);
        Graphics2D g = SliceView.smooth(picture);
        g.setColor(Color.WHITE);
        g.fillRect(0, 0, picture.getWidth(), picture.getHeight());
        head(g, signs);
        for (int row = 0; row < rows; row++) {
            int middle = HEAD + row * ROW + ROW / 2;
            g.setColor(LINE);
            g.setStroke(new BasicStroke(1));
            g.draw(new Line2D.Double(0, HEAD + row * ROW, picture.getWidth(), HEAD + row * ROW));
            g.setColor(INK);
            g.setFont(ReportFont.regular(13));
            g.drawString(chart.rows().get(row).pattern().name(), 6, middle + 5);
            for (int column = 0; column < signs.size(); column++) {
                String key = signs.get(column).sign().key();
                Optional<Cell> cell = chart.rows().get(row).cells().stream()
                        .filter(c -> c.expected().sign().equals(key))
                        .findFirst();
                int x = LEFT + column * CELL + CELL / 2;
                cell.ifPresent(c -> mark(g, c.support(), x, middle));
            }
        }
        legend(g, HEAD + rows * ROW + 24);
        g.dispose();
        return picture;
    }

    private static void head(Graphics2D g, List<SignReading> signs) {
        g.setColor(SOFT);
        g.setFont(ReportFont.regular(12));
        g.drawString("measured here", 6, TERMS);
        for (int i = 0; i < signs.size(); i++) {
            int x = LEFT + i * CELL + CELL / 2;
            g.setColor(INK);
            g.setFont(ReportFont.bold(12));
            lines(g, List.of(signs.get(i).sign().name()), x, 18);
            g.setColor(SOFT);
            g.setFont(ReportFont.regular(12));
            List<String> terms =
                    new ArrayList<>(List.of(AppraisalText.terms(signs.get(i)).split(" or ")));
            for (int term = 0; term < terms.size() - 1; term++) terms.set(term, terms.get(term) + " or");
            lines(g, terms, x, TERMS);
        }
    }

    // Under each other; what is too wide for the cell is parted at a blank or a hyphen.
    private static void lines(Graphics2D g, List<String> parts, int x, int base) {
        int y = base;
        for (String part : parts) {
            StringBuilder line = new StringBuilder();
            for (String piece : part.split("(?<=[ -])")) {
                if (line.length() > 0 && width(g, line + piece) > CELL - 4) {
                    centred(g, line.toString(), x, y);
                    line.setLength(0);
                    y += 15;
                }
                line.append(piece);
            }
            centred(g, line.toString(), x, y);
            y += 15;
        }
    }

    private static int width(Graphics2D g, String words) {
        return g.getFontMetrics().stringWidth(words.strip());
    }

    private static void legend(Graphics2D g, int y) {
        g.setFont(ReportFont.regular(12));
        int x = LEFT;
        for (Support support : Support.values()) {
            mark(g, support, x, y - 4);
            g.setColor(INK);
            String words = support == Support.NOT_MEASURED ? "not measured" : "speaks " + support + " the pattern";
            g.drawString(words, x + 16, y);
            x += 50 + g.getFontMetrics().stringWidth(words);
        }
        g.drawString("empty: the pattern leaves it open", x, y);
    }

    private static void mark(Graphics2D g, Support support, int x, int y) {
        switch (support) {
            case FOR -> {
                g.setColor(FOR);
                g.fill(new Ellipse2D.Double(x - 7, y - 7, 14, 14));
            }
            case AGAINST -> {
                g.setColor(AGAINST);
                g.setStroke(new BasicStroke(2.6f));
                g.draw(new Line2D.Double(x - 6, y - 6, x + 6, y + 6));
                g.draw(new Line2D.Double(x - 6, y + 6, x + 6, y - 6));
            }
            case NOT_MEASURED -> {
                g.setColor(SOFT);
                g.setStroke(new BasicStroke(1.6f));
                g.draw(new Line2D.Double(x - 5, y, x + 5, y));
            }
        }
    }

    private static void centred(Graphics2D g, String words, int x, int base) {
        g.drawString(words.strip(), x - width(g, words) / 2, base);
    }
}
