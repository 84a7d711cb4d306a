// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.nio.file.Path;
import java.util.ArrayList;
import java.util.List;
import java.util.Optional;
import java.util.Set;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.leiogauge.cohort.statistics.NestedValidation.Cases;
import org.leiogauge.table.CsvTable;
import org.leiogauge.task.InputException;

/**
 * A table with one row per lesion, one column per feature, and the outcome of each.
 *
 * @param features names, in the order of the cases' columns
 * @param cases those with an outcome
 * @param positive the outcome that counts as positive
 * @param decisions what was decided for the reader
 */
public record OutcomeTable(List<String> features, Cases cases, String positive, List<String> decisions) {
    private static final Set<String> NAMES =
            Set.of("case", "lesion", "site", "reader", "study", "outline", "case-file");

    /**
     * Reads a table.
     *
     * @param outcome the outcome's column
     * @param wanted the outcome that counts as positive; none: the last of the two in the alphabet
     * @param reader whose rows are used; none: all rows
     * @throws InputException if the column is not there or has not two values, a feature's cell is text, or the reader has
     *     no row
     */
    public static OutcomeTable read(Path file, String outcome, Optional<String> wanted, Optional<String> reader)
            throws InputException {
        CsvTable table = ofReader(file, CsvTable.read(file), reader);
        int at = table.columns().indexOf(outcome);
        if (at < 0)
            throw new InputException(
                    file, "header", "no column " + outcome, "the outcome's column, one of " + table.columns());
        List<String> decisions = new ArrayList<>();
        List<List<String>> rows =
                table.rows().stream().filter(row -> !row.get(at).isBlank()).toList();
        reader.ifPresent(name -> decisions.add("rows of reader " + name + " alone were used"));
        if (rows.size() < table.rows().size())
            decisions.add((table.rows().size() - rows.size()) + " rows without an outcome were left out");
        String positive = positive(file, outcome, wanted, rows, at, decisions);
        List<String> features = new ArrayList<>();
        List<double[]> columns = new ArrayList<>();
        List<String> empty = new ArrayList<>();
        for (int c = 0; c < table.columns().size(); c++) {
            String name = table.columns().get(c);
            if (c == at || NAMES.contains(name)) continue;
            Optional<double[]> numbers = numbers(file, name, rows, c);
            if (numbers.isEmpty()) empty.add(name);
            else {
                features.add(name);
                columns.add(numbers.get());
            }
        }
        if (!empty.isEmpty())
            decisions.add(empty.size() + " columns hold no number and were passed over: " + String.join(", ", empty));
        if (features.isEmpty())
            throw new InputException(file, "header", "no column of numbers", "a feature's column beside " + outcome);
        boolean[] isPositive = new boolean[rows.size()];
        for (int i = 0; i < isPositive.length; i++)
            isPositive[i] = rows.get(i).get(at).equals(positive);
        List<String> site = texts(table, rows, "site");
        List<String> group = texts(table, rows, "case");
        long different = group.stream().distinct().count();
        if (different < rows.size())
            decisions.add(
                    rows.size() + " rows are of " + different + " cases: rows of one case are alike, so that every"
                            + " interval and p-value here is too good; use --reader, or one row per case");
        if (site.stream().distinct().count() >= 3) {
            group = site;
            decisions.add("models are tried on sites that they have not seen");
        } else decisions.add("fewer than three sites: models are tried on cases, not sites, that they have not seen");
        return new OutcomeTable(
                List.copyOf(features),
                new Cases(columns.toArray(double[][]::new), isPositive, group, site),
                positive,
                List.copyOf(decisions));
    }

    private static CsvTable ofReader(Path file, CsvTable table, Optional<String> reader) throws InputException {
        if (reader.isEmpty()) return table;
        int at = table.columns().indexOf("reader");
        if (at < 0) throw new InputException(file, "header", "no column reader", "one, for --reader");
        List<List<String>> rows = table.rows().stream()
                .filter(row -> row.get(at).equals(reader.get()))
                .toList();
        if (rows.isEmpty())
            throw new InputException(file, "column reader", "no " + reader.get(), "rows of that reader");
        return new CsvTable(table.columns(), rows);
    }

    private static String positive(
            Path file, String outcome, Optional<String> wanted, List<List<String>> rows, int at, List<String> decisions)
            throws InputException {
        TreeSet<String> values =
                new TreeSet<>(rows.stream().map(row -> row.get(at)).toList());
        if (values.size() != 2)
            throw new InputException(
                    file, "column " + outcome, values.size() + " values: " + shown(values), "two values");
        if (wanted.isEmpty()) {
            decisions.add("positive is " + values.last() + ", the last of the two outcomes in the alphabet");
            return values.last();
        }
        if (!values.contains(wanted.get()))
            throw new InputException(
                    file, "column " + outcome, "no " + wanted.get() + " among " + values, "the positive outcome");
        return wanted.get();
    }

    private static String shown(TreeSet<String> values) {
        List<String> some = values.stream().limit(5).toList();
        return String.join(", ", some) + (values.size() > some.size() ? ", …" : "");
    }

    // A column of text alone describes; one of numbers with a text in between is damaged.
    private static Optional<double[]> numbers(Path file, String name, List<List<String>> rows, int c)
            throws InputException {
        double[] numbers = new double[rows.size()];
        int found = 0;
        int text = -1;
        for (int i = 0; i < numbers.length; i++) {
            String cell = rows.get(i).get(c).strip();
            numbers[i] = Double.NaN;
            if (cell.isEmpty()) continue;
            try {
                numbers[i] = Double.parseDouble(cell);
            } catch (NumberFormatException e) {
                text = i;
                continue;
            }
            if (!Double.isFinite(numbers[i])) throw notNumber(file, name, cell);
            found++;
        }
        if (found > 0 && text >= 0) throw notNumber(file, name, rows.get(text).get(c));
        return found == 0 ? Optional.empty() : Optional.of(numbers);
    }

    private static InputException notNumber(Path file, String column, String cell) {
        return new InputException(file, "column " + column, cell, "a finite number, or an empty cell");
    }

    private static List<String> texts(CsvTable table, List<List<String>> rows, String column) {
        int c = table.columns().indexOf(column);
        return IntStream.range(0, rows.size())
                .mapToObj(i -> c < 0
                        ? (column.equals("case") ? "row " + i : "")
                        : rows.get(i).get(c))
                .toList();
    }
}
