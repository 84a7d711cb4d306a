// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Dimension;
import java.awt.KeyboardFocusManager;
import java.math.BigDecimal;
import java.math.MathContext;
import java.util.List;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JTable;
import javax.swing.table.AbstractTableModel;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.Measurement;

/** All values of the lesion, to look one up: value, interval, unit and whether it wants care. */
final class ValuesTable {
    private static final int SHOWN_ROWS = 14;

    private final JPanel panel = Section.plain(6);

    ValuesTable(List<LesionRow> rows) {
        List<LesionRow> lesion = rows.stream()
                .filter(row -> row.value().definition().group().equals("lesion"))
                .toList();
        JTable table = new JTable(new Model(lesion));
        panel.setName("values");
        table.setName("values-table");
        table.getAccessibleContext().setAccessibleName("All values of the lesion");
        table.setFillsViewportHeight(true);
        table.setAutoCreateRowSorter(true);
        // tab leads out of the table, the arrow keys lead through it
        table.setFocusTraversalKeys(KeyboardFocusManager.FORWARD_TRAVERSAL_KEYS, null);
        table.setFocusTraversalKeys(KeyboardFocusManager.BACKWARD_TRAVERSAL_KEYS, null);
        table.getColumnModel().getColumn(0).setPreferredWidth(170);
        Prose note = Prose.soft("Choose a value to read what is said of it.");
        table.getSelectionModel().addListSelectionListener(event -> {
            if (table.getSelectedRow() < 0) return;
            note.setWords(words(lesion.get(table.convertRowIndexToModel(table.getSelectedRow()))));
            panel.revalidate();
        });
        JScrollPane scroll = new JScrollPane(table);
        scroll.setPreferredSize(new Dimension(300, table.getRowHeight() * (SHOWN_ROWS + 1)));
        panel.add(Prose.heading("All values of the lesion"));
        panel.add(note);
        panel.add(scroll);
    }

    JComponent component() {
        return panel;
    }

    /** A value in one line. */
    static String words(LesionRow row) {
        String unit = row.value().definition().unit();
        String value = name(row) + ": " + number(row)
                + (row.value().measurement().number().isEmpty() || unit.equals("1") ? "" : " " + unit);
        String interval = row.interval()
                .map(i -> " (" + digits(i.low()) + " to " + digits(i.high()) + ")")
                .orElse("");
        return value + interval + ", " + row.status() + (row.note().isEmpty() ? "" : ": " + row.note());
    }

    private static String name(LesionRow row) {
        String detail = row.value().aggregation().name();
        return row.value().definition().feature() + (detail.isEmpty() ? "" : ", " + detail);
    }

    private static String number(LesionRow row) {
        Measurement measurement = row.value().measurement();
        return measurement.number().isPresent() ? digits(measurement.number().getAsDouble()) : "–";
    }

    private static String digits(double value) {
        return new BigDecimal(value)
                .round(new MathContext(4))
                .stripTrailingZeros()
                .toPlainString();
    }

    private static final class Model extends AbstractTableModel {
        private static final long serialVersionUID = 1L;
        private static final List<String> COLUMNS = List.of("value of", "value", "interval", "unit", "status");

        private final transient List<LesionRow> rows;

        Model(List<LesionRow> rows) {
            this.rows = rows;
        }

        @Override
        public int getRowCount() {
            return rows.size();
        }

        @Override
        public int getColumnCount() {
            return COLUMNS.size();
        }

        @Override
        public String getColumnName(int column) {
            return COLUMNS.get(column);
        }

        @Override
        public Object getValueAt(int at, int column) {
            LesionRow row = rows.get(at);
            return switch (column) {
                case 0 -> Plain.of(name(row));
                case 1 -> number(row);
                case 2 ->
                    row.interval()
                            .map(i -> digits(i.low()) + " to " + digits(i.high()))
                            .orElse("");
                case 3 -> row.value().definition().unit().equals("1")
                        ? ""
                        : row.value().definition().unit().replace("10-3.mm2/s", "10⁻³ mm²/s");
                default -> row.status().toString();
            };
        }
    }
}
