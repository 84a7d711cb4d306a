// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.awt.Dimension;
import java.awt.KeyboardFocusManager;
import java.math.BigDecimal;
import java.math.MathContext;
import java.math.RoundingMode;
import java.util.List;
import java.util.OptionalDouble;
import javax.swing.JComponent;
import javax.swing.JPanel;
import javax.swing.JScrollPane;
import javax.swing.JTable;
import javax.swing.table.AbstractTableModel;
import org.leiogauge.table.LesionRow;

/** All values of the lesion, to look one up: value, interval, unit and whether it wants care. */
final class ValuesTable {
    private static final int SHOWN_ROWS = 14;
    private static final int[] WIDTHS = {120, 140, 60};

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
        for (int i = 0; i < WIDTHS.length; i++)
            table.getColumnModel().getColumn(i).setPreferredWidth(WIDTHS[i]);
        Prose note = Prose.soft("Choose a value to read what is said of it.");
        table.getSelectionModel().addListSelectionListener(event -> {
            if (table.getSelectedRow() < 0) return;
            note.setWords(words(lesion.get(table.convertRowIndexToModel(table.getSelectedRow()))));
            panel.revalidate();
        });
        JScrollPane scroll = new JScrollPane(table);
        scroll.setColumnHeaderView(table.getTableHeader());
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
        return name(row) + ": " + value(row) + ", " + row.status() + (row.note().isEmpty() ? "" : ": " + row.note());
    }

    /** Value, unit and interval; a dash where there is none. */
    static String value(LesionRow row) {
        OptionalDouble number = row.value().measurement().number();
        if (number.isEmpty()) return "–";
        String unit = Plain.unit(row.value().definition().unit());
        return digits(number.getAsDouble())
                + (unit.isEmpty() ? "" : " " + unit)
                + row.interval()
                        .map(i -> " (" + digits(i.low()) + " to " + digits(i.high()) + ")")
                        .orElse("");
    }

    private static String name(LesionRow row) {
        String detail = row.value().aggregation().name();
        return row.value().definition().feature() + (detail.isEmpty() ? "" : ", " + detail);
    }

    // Four digits that count, and whole numbers whole.
    private static String digits(double value) {
        BigDecimal exact = new BigDecimal(value);
        BigDecimal rounded = Math.abs(value) >= 1000
                ? exact.setScale(0, RoundingMode.HALF_EVEN)
                : exact.round(new MathContext(4)).stripTrailingZeros();
        return rounded.toPlainString();
    }

    private static final class Model extends AbstractTableModel {
        private static final long serialVersionUID = 1L;
        private static final List<String> COLUMNS = List.of("of", "value and interval", "status");

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
            return Plain.of(
                    switch (column) {
                        case 0 -> name(row);
                        case 1 -> value(row);
                        default -> row.status().toString();
                    });
        }
    }
}
