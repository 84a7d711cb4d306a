// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.desk;

import java.util.List;
import java.util.Optional;
import javax.swing.JComponent;
import javax.swing.JPanel;
import org.leiogauge.appraise.Appraisal;
import org.leiogauge.appraise.AppraisalText;
import org.leiogauge.appraise.SignComparison;
import org.leiogauge.appraise.SignReading;
import org.leiogauge.table.LesionRow;

/** Each sign as the reader called it beside what was measured of it, with value, interval, cut-off and what wants care. */
final class SignsTable {
    private static final int NARROW_BELOW = 560;

    private final JPanel table = Section.plain(8);

    SignsTable(Appraisal appraisal, List<LesionRow> rows) {
        table.setName("signs");
        table.add(Prose.heading("What you saw, and what was measured"));
        for (SignReading sign : appraisal.signs()) table.add(row(Line.of(appraisal, sign, rows)));
    }

    JComponent component() {
        return table;
    }

    /**
     * A sign in words.
     *
     * @param calls what the reader called it, one per impression that did, with how the measurement stands to it
     */
    record Line(String sign, List<Call> calls, String measured, List<Value> values) {
        Line {
            calls = List.copyOf(calls);
            values = List.copyOf(values);
        }

        static Line of(Appraisal appraisal, SignReading reading, List<LesionRow> rows) {
            List<Call> calls = appraisal.comparisons().stream()
                    .filter(one -> one.sign().key().equals(reading.sign().key()))
                    .map(Call::of)
                    .toList();
            return new Line(
                    reading.sign().name(),
                    calls,
                    AppraisalText.terms(reading) + (reading.nearCutOff() ? " (near a cut-off)" : ""),
                    reading.measured().stream().map(one -> Value.of(one, rows)).toList());
        }
    }

    /** What the reader called a sign in one impression. */
    record Call(String term, String agreement, Glyph glyph) {
        static Call of(SignComparison one) {
            return new Call(
                    (one.entry() == 1 ? "" : "impression " + one.entry() + ": ") + one.term(),
                    one.agreement().toString(),
                    Glyph.of(one.agreement()));
        }
    }

    /** A measured value in words, and why it wants care; empty if it does not. */
    record Value(String words, String care) {
        static Value of(SignReading.Measured one, List<LesionRow> rows) {
            String care = row(one, rows)
                    .filter(row -> row.status() == LesionRow.Status.CAUTION)
                    .map(LesionRow::note)
                    .orElse("");
            return new Value(one.text(), care);
        }

        private static Optional<LesionRow> row(SignReading.Measured one, List<LesionRow> rows) {
            return rows.stream()
                    .filter(row -> row.region().equals("lesion"))
                    .filter(row -> row.value().definition().group().equals("lesion"))
                    .filter(row -> row.value()
                            .definition()
                            .feature()
                            .equals(one.counterpart().feature()))
                    .filter(row -> one.counterpart()
                            .aggregation()
                            .map(row.value().aggregation().name()::equals)
                            .orElse(true))
                    .filter(row -> row.value().measurement().equals(one.value()))
                    .findFirst();
        }
    }

    private static JComponent row(Line line) {
        JPanel reader = Section.plain(4);
        if (line.calls.isEmpty()) reader.add(Prose.soft("you: not called"));
        for (Call call : line.calls) {
            reader.add(Prose.text("you: " + call.term));
            reader.add(Section.marked(call.glyph, Prose.text(call.agreement)));
        }
        JPanel measured = Section.plain(3);
        measured.add(Prose.text("measured: " + line.measured));
        for (Value value : line.values) {
            measured.add(Prose.soft(value.words));
            if (!value.care.isEmpty()) measured.add(Section.marked(Glyph.CARE, Prose.soft("care: " + value.care)));
        }
        JPanel columns = new JPanel(WidthFirst.columns(18, NARROW_BELOW, 0.2, 0.25, 0.55));
        columns.add(Prose.name(line.sign));
        columns.add(reader);
        columns.add(measured);
        JPanel row = Section.ruled(0);
        row.add(columns);
        return row;
    }
}
