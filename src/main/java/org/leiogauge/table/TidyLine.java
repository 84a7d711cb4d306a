// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.table;

import java.nio.file.Path;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.OptionalDouble;
import org.leiogauge.table.LesionRow.Status;
import org.leiogauge.table.Measurement.Measured;
import org.leiogauge.table.Measurement.NotMeasured;
import org.leiogauge.task.InputException;

/** One line of a tidy table on its way back to a row. */
record TidyLine(Path file, CsvFile.Line line) {
    /** What tells the values of a table apart. */
    List<String> key() {
        return List.of(
                text("case"),
                text("lesion"),
                text("region"),
                text("series"),
                text("group"),
                text("feature"),
                text("aggregation"));
    }

    LesionRow row() throws InputException {
        for (String column : List.of("case", "lesion", "region", "group", "feature", "unit"))
            if (text(column).isBlank()) throw wrong(column, "nothing", "a text");
        Definition definition = new Definition(text("group"), text("feature"), text("code"), text("unit"), "", "");
        LesionRow row = new LesionRow(
                text("case"),
                text("lesion"),
                text("region"),
                text("series"),
                new FeatureValue(definition, new Aggregation(text("aggregation"), ""), measurement()),
                interval(),
                status() == Status.CAUTION ? note() : "");
        if (row.status() != status()) throw wrong("status", text("status"), row.status() + ", as the value says");
        return row;
    }

    private Measurement measurement() throws InputException {
        OptionalDouble value = number("value");
        return value.isPresent() ? new Measured(value.getAsDouble()) : new NotMeasured(note());
    }

    private Optional<Interval> interval() throws InputException {
        OptionalDouble low = number("low");
        OptionalDouble high = number("high");
        if (low.isPresent() != high.isPresent()) throw wrong("low", "one of low and high", "both or none");
        if (low.isEmpty()) return Optional.empty();
        if (low.getAsDouble() > high.getAsDouble()) throw wrong("low", text("low"), "at most high, " + text("high"));
        return Optional.of(new Interval(low.getAsDouble(), high.getAsDouble()));
    }

    private Status status() throws InputException {
        for (Status status : Status.values()) if (status.toString().equals(text("status"))) return status;
        throw wrong("status", text("status"), "one of " + Arrays.toString(Status.values()));
    }

    private String note() throws InputException {
        if (text("note").isBlank()) throw wrong("note", "nothing", "the reason, as the value wants care or is none");
        return text("note");
    }

    private OptionalDouble number(String column) throws InputException {
        String text = text(column);
        if (text.isEmpty()) return OptionalDouble.empty();
        try {
            double value = Double.parseDouble(text);
            if (Double.isFinite(value)) return OptionalDouble.of(value);
        } catch (NumberFormatException e) {
            // said below
        }
        throw wrong(column, text, "a finite number, or an empty cell");
    }

    private String text(String column) {
        return line.cells().get(LesionTable.COLUMNS.indexOf(column));
    }

    private InputException wrong(String column, String found, String expected) {
        return new InputException(file, "line " + line.number() + ", column " + column, found, expected);
    }
}
