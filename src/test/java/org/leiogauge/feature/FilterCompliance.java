// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Locale;
import java.util.Map;
import org.apache.commons.csv.CSVRecord;
import org.leiogauge.feature.filter.FilteredPhantom;
import org.leiogauge.feature.filter.ReferenceMaps;
import org.leiogauge.table.FeatureValue;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;
import org.leiogauge.task.Workers;

/** The filters' part of the page: all that the reference data of part 2 have beside the checkout. Worked out once. */
final class FilterCompliance {
    private static final List<MapLine> MAPS = new ArrayList<>();
    private static final List<ValueLine> VALUES = new ArrayList<>();

    private FilterCompliance() {}

    record MapLine(CSVRecord row, ReferenceMaps.Result result) {
        String line() {
            return String.format(
                    Locale.ROOT,
                    "| %s | %s, %s | %s | %s | %s | %.2g %% | 1 %% | %s |\n",
                    row.get("id"),
                    row.get("filter"),
                    row.get("dimension"),
                    row.get("parameters"),
                    row.get("phantom"),
                    row.get("padding"),
                    100 * result.difference(),
                    result.passes() ? "yes" : "**no**");
        }
    }

    record ValueLine(CSVRecord row, double value) {
        private double reference() {
            return Double.parseDouble(row.get("value"));
        }

        private double tolerance() {
            String published = row.get("tolerance");
            double digit = Math.pow(10, Math.floor(Math.log10(Math.abs(reference()))) - 2);
            return Math.max(published.isEmpty() ? 0 : Double.parseDouble(published), digit / 2);
        }

        boolean passes() {
            return Math.abs(value - reference()) <= tolerance() * (1 + 1e-9);
        }

        String line() {
            return String.format(
                    Locale.ROOT,
                    "| %s | %s, %s | %s | %s | %.5g | %.5g | %.2g | %s |\n",
                    row.get("filter_id"),
                    row.get("filter"),
                    row.get("dimension"),
                    row.get("feature").toLowerCase(Locale.ROOT),
                    row.get("value"),
                    tolerance(),
                    value,
                    Math.abs(value - reference()),
                    passes() ? "yes" : "**no**");
        }
    }

    static synchronized List<MapLine> maps() throws InputException {
        if (MAPS.isEmpty())
            for (CSVRecord row : Standard.rows(Standard.FOLDER.resolve("filters/response-maps.csv")))
                MAPS.add(new MapLine(row, ReferenceMaps.compare(row.get("id"), row.get("phantom"), Workers.SINGLE)));
        return MAPS;
    }

    /** A row without a value has none to compare with. */
    static synchronized List<ValueLine> values() {
        if (!VALUES.isEmpty()) return VALUES;
        Map<String, List<FeatureValue>> measured = new HashMap<>();
        Map<String, Integer> next = new HashMap<>();
        Standard.Setup ct = Standard.a();
        for (CSVRecord row : Standard.rows(Standard.FOLDER.resolve("ibsi2-features.csv"))) {
            String id = row.get("filter_id");
            List<FeatureValue> ours = measured.computeIfAbsent(
                    id, key -> FilteredPhantom.statistics(key, ct.image(), ct.mask(), Workers.SINGLE));
            // Both lists are in the standard's order.
            Measurement value = ours.get(next.merge(id, 1, Integer::sum) - 1).measurement();
            if (!row.get("value").isEmpty())
                VALUES.add(new ValueLine(row, value instanceof Measurement.Measured m ? m.value() : Double.NaN));
        }
        return VALUES;
    }

    static String mapTotal() throws InputException {
        return maps().stream().filter(line -> line.result().passes()).count() + " of " + maps().size();
    }

    static String valueTotal() {
        return values().stream().filter(ValueLine::passes).count() + " of " + values().size();
    }

    static String tables() throws InputException {
        StringBuilder text = new StringBuilder("\n## Filters, response maps\n\n");
        text.append(
                "| map | filter | parameters | phantom | boundary | largest difference, of the range | tolerance | pass |\n");
        text.append("|---|---|---|---|---|---|---|---|\n");
        maps().forEach(line -> text.append(line.line()));
        text.append("\n## Filters, CT phantom\n\n");
        text.append("| configuration | filter | feature | standard | tolerance | ours | difference | pass |\n");
        text.append("|---|---|---|---|---|---|---|---|\n");
        values().forEach(line -> text.append(line.line()));
        return text.toString();
    }
}
