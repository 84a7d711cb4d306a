// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import com.formdev.flatlaf.util.UIScale;
import java.awt.Dimension;
import java.awt.FontMetrics;
import java.awt.Graphics;
import java.awt.Graphics2D;
import java.awt.RenderingHints;
import java.awt.event.ActionEvent;
import java.awt.event.FocusEvent;
import java.awt.event.FocusListener;
import java.awt.event.MouseAdapter;
import java.awt.event.MouseEvent;
import java.awt.geom.AffineTransform;
import java.util.List;
import java.util.Optional;
import java.util.function.IntConsumer;
import java.util.stream.Collectors;
import javax.accessibility.AccessibleContext;
import javax.swing.AbstractAction;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.KeyStroke;
import javax.swing.UIManager;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.PatternChart;
import org.leiogauge.appraise.PatternChart.Cell;
import org.leiogauge.appraise.PatternChart.Row;
import org.leiogauge.appraise.PatternChart.Support;
import org.leiogauge.appraise.SignReading;

/**
 * The measured signs beside the textbook patterns: a chart, patterns down and signs across, and below it in words what speaks
 * for and against the pattern under the mark. Up and down keys or the mouse move the mark; no pattern is declared.
 */
final class PatternPanel {
    private static final int NARROW_BELOW = 640;

    private final PatternChart chart;
    private final JPanel panel = Section.plain(10);
    private final JPanel detail = Section.plain(4);

    PatternPanel(PatternChart chart, List<SignReading> signs) {
        this.chart = chart;
        panel.setName("patterns");
        panel.add(Prose.heading("Beside the textbook patterns"));
        panel.add(Prose.soft("What speaks for and against each, in the textbook's order. None is declared; a pattern"
                + " leaves a sign open where its column is empty."));
        panel.add(legend());
        JPanel both = new JPanel(WidthFirst.columns(24, NARROW_BELOW, 0.52, 0.48));
        both.add(new Picture(chart, List.copyOf(signs), this::describe));
        both.add(detail);
        panel.add(both);
        describe(0);
    }

    JComponent component() {
        return panel;
    }

    private static JComponent legend() {
        JPanel legend = new JPanel(WidthFirst.lines(14));
        for (Support support : Support.values()) legend.add(Section.word(Glyph.of(support), words(support)));
        return legend;
    }

    private static String words(Support support) {
        return support == Support.NOT_MEASURED ? "not measured" : "speaks " + support;
    }

    private void describe(int row) {
        detail.removeAll();
        Row chosen = chart.rows().get(row);
        detail.add(Prose.name(chosen.pattern().name()));
        for (Support support : Support.values())
            detail.add(Section.marked(Glyph.of(support), Prose.text(words(support) + ": " + cells(chosen, support))));
        detail.add(Prose.soft("Source: " + chosen.pattern().source()));
        panel.revalidate();
        panel.repaint();
    }

    /** The signs of a pattern with this support, with what was measured and, where it speaks against, what is expected. */
    static String cells(Row row, Support support) {
        String all = row.with(support).stream()
                .map(cell -> cell.reading().sign().name() + detail(cell))
                .collect(Collectors.joining(", "));
        return all.isEmpty() ? "no sign" : all;
    }

    private static String detail(Cell cell) {
        String terms = AppraisalText.terms(cell.reading());
        return switch (cell.support()) {
            case FOR -> " (" + terms + ")";
            case AGAINST ->
                " (measured " + terms + ", expected "
                        + String.join(" or ", cell.expected().terms()) + ")";
            case NOT_MEASURED -> "";
        };
    }

    /** The chart itself. */
    private static final class Picture extends JComponent {
        private static final long serialVersionUID = 1L;
        private final int pad = UIScale.scale(6);
        private final int widestCell = UIScale.scale(56);

        private final transient PatternChart chart;
        private final transient List<SignReading> signs;
        private final transient IntConsumer chosen;
        private int at;

        Picture(PatternChart chart, List<SignReading> signs, IntConsumer chosen) {
            this.chart = chart;
            this.signs = signs;
            this.chosen = chosen;
            setName("pattern-chart");
            setFocusable(true);
            on("UP", -1);
            on("DOWN", 1);
            addMouseListener(new MouseAdapter() {
                @Override
                public void mousePressed(MouseEvent event) {
                    requestFocusInWindow();
                    int row = (event.getY() - head()) / rowHeight();
                    if (event.getY() >= head() && row < chart.rows().size()) choose(row);
                }
            });
            addFocusListener(new FocusListener() {
                @Override
                public void focusGained(FocusEvent event) {
                    repaint();
                }

                @Override
                public void focusLost(FocusEvent event) {
                    repaint();
                }
            });
            describe();
        }

        private void on(String key, int step) {
            getInputMap().put(KeyStroke.getKeyStroke(key), key);
            getActionMap().put(key, new AbstractAction() {
                private static final long serialVersionUID = 1L;

                @Override
                public void actionPerformed(ActionEvent event) {
                    choose(Math.max(0, Math.min(chart.rows().size() - 1, at + step)));
                }
            });
        }

        private void choose(int row) {
            at = row;
            describe();
            chosen.accept(row);
        }

        private void describe() {
            Row row = chart.rows().get(at);
            getAccessibleContext().setAccessibleName("Pattern chart");
            String words = row.pattern().name();
            for (Support support : Support.values()) words += "; " + words(support) + ": " + cells(row, support);
            getAccessibleContext().setAccessibleDescription(words);
        }

        @Override
        public AccessibleContext getAccessibleContext() {
            if (accessibleContext == null)
                accessibleContext = new AccessibleJComponent() {
                    private static final long serialVersionUID = 1L;
                };
            return accessibleContext;
        }

        @Override
        public Dimension getPreferredSize() {
            return new Dimension(
                    UIScale.scale(320), head() + rowHeight() * chart.rows().size() + 1);
        }

        private FontMetrics metrics() {
            return getFontMetrics(UIManager.getFont("Label.font"));
        }

        private int rowHeight() {
            return metrics().getHeight() + 2 * pad;
        }

        // the signs' names stand on end: so the chart fits a narrow panel
        private int head() {
            return 2 * pad
                    + signs.stream()
                            .mapToInt(sign -> metrics().stringWidth(sign.sign().name()))
                            .max()
                            .orElse(0);
        }

        private int left() {
            int widest = chart.rows().stream()
                    .mapToInt(row -> metrics().stringWidth(row.pattern().name()))
                    .max()
                    .orElse(0);
            return Math.min(widest + 2 * pad, getWidth() * 45 / 100);
        }

        @Override
        protected void paintComponent(Graphics graphics) {
            Graphics2D g = (Graphics2D) graphics.create();
            g.setRenderingHint(RenderingHints.KEY_ANTIALIASING, RenderingHints.VALUE_ANTIALIAS_ON);
            g.setRenderingHint(RenderingHints.KEY_TEXT_ANTIALIASING, RenderingHints.VALUE_TEXT_ANTIALIAS_ON);
            g.setFont(UIManager.getFont("Label.font"));
            int left = left();
            double cell = Math.min(widestCell, (getWidth() - left) / (double) signs.size());
            paintHead(g, left, cell);
            for (int row = 0; row < chart.rows().size(); row++)
                paintRow(g, chart.rows().get(row), row, left, cell);
            g.dispose();
        }

        private void paintHead(Graphics2D g, int left, double cell) {
            for (int i = 0; i < signs.size(); i++) {
                g.setColor(Tint.ink());
                upright(g, signs.get(i).sign().name(), left + cell * (i + 0.5));
            }
        }

        private void upright(Graphics2D g, String words, double middle) {
            AffineTransform before = g.getTransform();
            g.translate(middle + g.getFontMetrics().getAscent() / 2.0 - 1, head() - pad);
            g.rotate(-Math.PI / 2);
            g.drawString(words, 0, 0);
            g.setTransform(before);
        }

        private void paintRow(Graphics2D g, Row row, int number, int left, double cell) {
            int top = head() + number * rowHeight();
            if (number == at) {
                g.setColor(Tint.between(Prose.ground(), Tint.agreeing(), 0.12f));
                g.fillRect(0, top, getWidth(), rowHeight());
                if (isFocusOwner()) {
                    g.setColor(Tint.agreeing());
                    g.drawRect(0, top, getWidth() - 1, rowHeight() - 1);
                }
            }
            g.setColor(Tint.line());
            g.fillRect(0, top, getWidth(), 1);
            g.setColor(Tint.ink());
            int base = top + pad + g.getFontMetrics().getAscent();
            g.drawString(cut(g, row.pattern().name(), left - 2 * pad), pad, base);
            for (int i = 0; i < signs.size(); i++) {
                String key = signs.get(i).sign().key();
                Optional<Cell> found = row.cells().stream()
                        .filter(one -> one.expected().sign().equals(key))
                        .findFirst();
                if (found.isEmpty()) continue;
                Glyph.of(found.get().support())
                        .paint(g, left + cell * (i + 0.5), top + rowHeight() / 2.0, rowHeight() * 0.24);
            }
        }

        private String cut(Graphics2D g, String words, int room) {
            String shown = words;
            while (g.getFontMetrics().stringWidth(shown) > room && shown.length() > 2)
                shown = shown.substring(0, shown.length() - 2) + "…";
            return shown;
        }
    }
}
