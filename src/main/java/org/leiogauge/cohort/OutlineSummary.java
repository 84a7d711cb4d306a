// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import org.apache.commons.math3.stat.StatUtils;
import org.apache.commons.math3.stat.descriptive.rank.Percentile;
import org.apache.commons.math3.stat.descriptive.rank.Percentile.EstimationType;
import org.leiogauge.cohort.OutlineDifferences.OfPair;
import org.leiogauge.measure.OutlineComparison;
import org.leiogauge.report.ChartPicture;
import org.leiogauge.report.Figure;
import org.leiogauge.report.Page;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.Measurement;

/** How differently lesions were drawn, for table and page. */
final class OutlineSummary {
    private static final List<String> KEYS = List.of("case", "lesion", "first", "second");
    private static final double SHARE = 0.05;

    private OutlineSummary() {}

    /** One row per pair of outlines. */
    static CsvTable table(OutlineDifferences outlines) {
        List<String> columns = new ArrayList<>(KEYS);
        for (String name : names(outlines)) {
            String unit = OutlineComparison.unitOf(name);
            columns.add(unit.equals("1") ? name : name + " (" + unit + ")");
        }
        List<List<String>> rows = new ArrayList<>();
        for (OfPair pair : outlines.pairs()) {
            List<String> row = new ArrayList<>(List.of(pair.caseName(), pair.lesion(), pair.first(), pair.second()));
            pair.values().values().forEach(value -> row.add(value.text()));
            rows.add(row);
        }
        return new CsvTable(columns, rows);
    }

    /** What is said of all pairs of two readers together, as rows of the table of agreement. */
    static List<List<String>> rows(OutlineDifferences outlines) {
        List<List<String>> rows = new ArrayList<>();
        byReaders(outlines).forEach((readers, pairs) -> {
            for (String name : names(outlines)) {
                double[] values = values(pairs, name);
                statistics(values)
                        .forEach((statistic, value) -> rows.add(AgreementFolder.row(
                                "outline/" + name,
                                statistic + ", " + readers,
                                OutlineComparison.unitOf(name),
                                values.length,
                                new Estimate(
                                        Measurement.of(value, "no outline could be compared"), Optional.empty()))));
            }
        });
        return rows;
    }

    static Page.Section section(OutlineDifferences outlines, List<Figure> figures) {
        List<List<String>> rows = new ArrayList<>();
        byReaders(outlines).forEach((readers, pairs) -> {
            for (String name : names(outlines)) {
                double[] values = values(pairs, name);
                List<String> row = new ArrayList<>(
                        List.of(readers, name, OutlineComparison.unitOf(name), Integer.toString(values.length)));
                statistics(values).values().forEach(value -> row.add(Double.isNaN(value) ? "–" : Page.digits(value)));
                rows.add(row);
            }
        });
        return new Page.Section(
                "Agreement of outlines",
                List.of(
                        "Dice: twice the shared volume over the sum of both. 95 % Hausdorff distance: what 95 % of either"
                                + " border lie within of the other. Each pair stands in outlines.csv."),
                List.of(new Page.Table(
                        List.of(
                                "Readers",
                                "Measure",
                                "Unit",
                                "Lesions",
                                "Mean",
                                "Median",
                                "5th percentile",
                                "95th percentile"),
                        rows)),
                figures);
    }

    /** Per two readers, Dice against the distance. */
    static List<Figure> figures(OutlineDifferences outlines) {
        List<Figure> figures = new ArrayList<>();
        byReaders(outlines).forEach((readers, pairs) -> {
            List<OfPair> both = pairs.stream()
                    .filter(pair -> pair.values().values().stream()
                            .allMatch(value -> value.number().isPresent()))
                    .toList();
            if (!both.isEmpty())
                figures.add(new Figure(
                        "outlines-" + (figures.size() + 1),
                        "Outlines by " + readers + ": each point is a lesion",
                        ChartPicture.points(
                                values(both, "95 % Hausdorff distance"),
                                values(both, "Dice"),
                                List.of(),
                                "95 % Hausdorff distance (mm)",
                                "Dice")));
        });
        return figures;
    }

    private static List<String> names(OutlineDifferences outlines) {
        return List.copyOf(outlines.pairs().get(0).values().keySet());
    }

    private static Map<String, List<OfPair>> byReaders(OutlineDifferences outlines) {
        Map<String, List<OfPair>> readers = new LinkedHashMap<>();
        for (OfPair pair : outlines.pairs())
            readers.computeIfAbsent(pair.first() + " and " + pair.second(), key -> new ArrayList<>())
                    .add(pair);
        return readers;
    }

    private static double[] values(List<OfPair> pairs, String name) {
        return pairs.stream()
                .map(pair -> pair.values().get(name).number())
                .filter(number -> number.isPresent())
                .mapToDouble(number -> number.getAsDouble())
                .toArray();
    }

    // Percentiles by linear interpolation between order statistics, type 7.
    private static Map<String, Double> statistics(double[] values) {
        double[] ascending = values.clone();
        Arrays.sort(ascending);
        Percentile percentile = new Percentile().withEstimationType(EstimationType.R_7);
        Map<String, Double> all = new LinkedHashMap<>();
        all.put("mean", StatUtils.mean(ascending));
        all.put("median", percentile.evaluate(ascending, 50));
        all.put("5th percentile", percentile.evaluate(ascending, 100 * SHARE));
        all.put("95th percentile", percentile.evaluate(ascending, 100 * (1 - SHARE)));
        return all;
    }
}
