// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.nio.file.Files;
import java.nio.file.Path;
import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.OptionalDouble;
import org.apache.commons.math3.stat.StatUtils;
import org.leiogauge.cohort.statistics.BlandAltman;
import org.leiogauge.cohort.statistics.Concordance;
import org.leiogauge.cohort.statistics.IntraclassCorrelation;
import org.leiogauge.cohort.statistics.Repeatability;
import org.leiogauge.table.CsvTable;
import org.leiogauge.table.Estimate;
import org.leiogauge.table.LesionRow;
import org.leiogauge.table.LesionTable;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.InputException;

/**
 * How well two tables agree on the same lesions, feature by feature.
 *
 * @param lesions found in both
 * @param features in the order of the first table
 * @param passedOver what could not be compared, and why
 */
public record Agreement(int lesions, List<OfFeature> features, List<String> passedOver) {
    private static final String DICTIONARY = "dictionary.csv";

    // A correlation of two lesions is always 1.
    private static final int FEWEST = 3;

    /**
     * One feature.
     *
     * @param first values in the first table, in one order with those of the second
     */
    public record OfFeature(
            FeatureKey key,
            List<Double> first,
            List<Double> second,
            BlandAltman limits,
            Repeatability repeatability,
            Estimate concordance,
            IntraclassCorrelation correlation) {
        public OfFeature {
            first = List.copyOf(first);
            second = List.copyOf(second);
        }

        /** Every statistic by its name, in a fixed order. */
        public Map<String, Estimate> statistics() {
            Map<String, Estimate> all = new LinkedHashMap<>();
            all.put("mean of first", plain(mean(first)));
            all.put("mean of second", plain(mean(second)));
            all.put("bias", limits.bias());
            all.put("standard deviation of differences", plain(limits.deviation()));
            all.put("lower limit of agreement", limits.lower());
            all.put("upper limit of agreement", limits.upper());
            all.put("within-subject standard deviation", plain(repeatability.withinSubject()));
            all.put("repeatability coefficient", plain(repeatability.coefficient()));
            all.put(
                    "within-subject coefficient of variation",
                    new Estimate(repeatability.variationPercent(), Optional.empty()));
            all.put("concordance correlation", concordance);
            all.put("ICC(1,1)", correlation.oneWaySingle());
            all.put("ICC(2,1)", correlation.agreementSingle());
            all.put("ICC(3,1)", correlation.consistencySingle());
            all.put("ICC(1,k)", correlation.oneWayMean());
            all.put("ICC(2,k)", correlation.agreementMean());
            all.put("ICC(3,k)", correlation.consistencyMean());
            return all;
        }

        /** The unit of a statistic: the feature's, % for the coefficient of variation, else none. */
        public String unitOf(String statistic) {
            if (statistic.startsWith("ICC") || statistic.startsWith("concordance")) return "1";
            return statistic.endsWith("coefficient of variation") ? "%" : key.unit();
        }

        private static double mean(List<Double> values) {
            return StatUtils.mean(
                    values.stream().mapToDouble(Double::doubleValue).toArray());
        }

        private static Estimate plain(double value) {
            return new Estimate(new Measurement.Measured(value), Optional.empty());
        }
    }

    /**
     * Compares two tidy tables.
     *
     * @throws InputException if a table is not usable, no lesion is in both, a feature has two units, or the dictionaries
     *     beside the tables give it two meanings
     */
    public static Agreement between(Path first, Path second) throws InputException {
        Map<FeatureKey, Map<String, Double>> a = byFeature(first);
        Map<FeatureKey, Map<String, Double>> b = byFeature(second);
        requireUnits(first, a, second, b);
        requireMeanings(first, second);
        List<OfFeature> features = new ArrayList<>();
        List<String> passedOver = new ArrayList<>();
        int lesions = 0;
        for (Map.Entry<FeatureKey, Map<String, Double>> feature : a.entrySet()) {
            Map<String, Double> other = b.getOrDefault(feature.getKey(), Map.of());
            List<String> shared = feature.getValue().keySet().stream()
                    .filter(other::containsKey)
                    .toList();
            lesions = Math.max(lesions, shared.size());
            if (shared.size() < FEWEST)
                passedOver.add(feature.getKey().column() + ": measured in both for " + shared.size() + " lesions, "
                        + FEWEST + " needed");
            else features.add(of(feature.getKey(), shared, feature.getValue(), other));
        }
        if (lesions == 0)
            throw new InputException(
                    second,
                    "case, lesion",
                    "no value of a lesion that " + first + " has too",
                    "the same cases in both");
        return new Agreement(lesions, List.copyOf(features), List.copyOf(passedOver));
    }

    /** Why no feature is compared; empty if one is. */
    public Optional<String> whyNone() {
        if (!features.isEmpty()) return Optional.empty();
        return Optional.of("no feature is compared: " + FEWEST + " lesions measured in both are needed, and there "
                + (lesions == 1 ? "is 1" : "are " + lesions));
    }

    private static OfFeature of(FeatureKey key, List<String> shared, Map<String, Double> a, Map<String, Double> b) {
        double[] first = shared.stream().mapToDouble(a::get).toArray();
        double[] second = shared.stream().mapToDouble(b::get).toArray();
        double[][] pairs = new double[first.length][];
        for (int i = 0; i < pairs.length; i++) pairs[i] = new double[] {first[i], second[i]};
        return new OfFeature(
                key,
                shared.stream().map(a::get).toList(),
                shared.stream().map(b::get).toList(),
                BlandAltman.of(first, second),
                Repeatability.of(pairs),
                Concordance.of(first, second),
                IntraclassCorrelation.of(pairs));
    }

    private static Map<FeatureKey, Map<String, Double>> byFeature(Path table) throws InputException {
        Map<FeatureKey, Map<String, Double>> values = new LinkedHashMap<>();
        for (LesionRow row : LesionTable.readTidy(table)) {
            OptionalDouble number = row.value().measurement().number();
            Map<String, Double> lesions = values.computeIfAbsent(FeatureKey.of(row), key -> new LinkedHashMap<>());
            if (number.isPresent()) lesions.put(row.caseName() + "\n" + row.lesion(), number.getAsDouble());
        }
        return values;
    }

    private static void requireUnits(
            Path first, Map<FeatureKey, Map<String, Double>> a, Path second, Map<FeatureKey, Map<String, Double>> b)
            throws InputException {
        Map<String, String> units = new LinkedHashMap<>();
        for (FeatureKey key : a.keySet()) requireUnit(first, key, units);
        for (FeatureKey key : b.keySet()) requireUnit(second, key, units);
    }

    private static void requireUnit(Path table, FeatureKey key, Map<String, String> units) throws InputException {
        String before = units.putIfAbsent(key.column(), key.unit());
        if (before != null && !before.equals(key.unit()))
            throw new InputException(table, "unit of " + key.column(), key.unit(), before);
    }

    // Tables of two versions may have the same column for what is measured differently.
    private static void requireMeanings(Path first, Path second) throws InputException {
        Path a = first.resolveSibling(DICTIONARY);
        Path b = second.resolveSibling(DICTIONARY);
        if (!Files.isRegularFile(a) || !Files.isRegularFile(b)) return;
        Map<String, List<String>> meanings = new LinkedHashMap<>();
        for (List<String> row : CsvTable.read(a).rows()) meanings.put(row.get(0), row);
        for (List<String> row : CsvTable.read(b).rows()) {
            List<String> before = meanings.getOrDefault(row.get(0), row);
            if (!before.equals(row))
                throw new InputException(
                        b, "column " + row.get(0), "another definition than in " + a, "tables of one version");
        }
    }
}
