// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.util.ArrayList;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import org.leiogauge.cohort.Impressions.Reading;
import org.leiogauge.cohort.statistics.FleissKappa;
import org.leiogauge.cohort.statistics.Kappa;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.InputException;

/**
 * How far readers agree on the terms for the same lesions, beyond chance: Cohen's kappa for each pair of readers, also with
 * linear and quadratic weights for the grades of concern, and Fleiss' kappa over all readers where there are more than two.
 *
 * @param values in the order of signs
 * @param passedOver what could not be compared, and why
 */
public record ImpressionAgreement(List<OfSign> values, List<String> passedOver) {
    public ImpressionAgreement {
        values = List.copyOf(values);
        passedOver = List.copyOf(passedOver);
    }

    /**
     * One statistic of one sign.
     *
     * @param lesions that the readers named in it have a term for
     */
    public record OfSign(String sign, String statistic, int lesions, Estimate estimate) {}

    /** @throws InputException if fewer than two readers have a lesion in common */
    public static ImpressionAgreement of(Impressions impressions, Object source) throws InputException {
        List<String> readers = List.copyOf(new TreeSet<>(
                impressions.readings().stream().map(Reading::reader).toList()));
        List<OfSign> values = new ArrayList<>();
        List<String> passedOver = new ArrayList<>();
        for (String sign : impressions.signs()) {
            Map<String, Map<String, String>> lesions = byLesion(impressions, sign);
            for (int i = 0; i < readers.size(); i++)
                for (int j = i + 1; j < readers.size(); j++)
                    addPair(sign, lesions, readers.get(i), readers.get(j), values, passedOver);
            if (readers.size() > 2) addAll(sign, lesions, readers, values, passedOver);
        }
        if (values.isEmpty())
            throw new InputException(
                    source, "reader", readers.size() + " readers without a lesion in common", "two readers or more");
        return new ImpressionAgreement(values, passedOver);
    }

    /** What each reader said of each lesion; who said nothing is not in it. */
    private static Map<String, Map<String, String>> byLesion(Impressions impressions, String sign) {
        Map<String, Map<String, String>> lesions = new LinkedHashMap<>();
        for (Reading reading : impressions.readings()) {
            String term = reading.terms().getOrDefault(sign, "");
            if (!term.isEmpty())
                lesions.computeIfAbsent(reading.caseName() + "\n" + reading.lesion(), key -> new TreeMap<>())
                        .put(reading.reader(), term);
        }
        return lesions;
    }

    private static void addPair(
            String sign,
            Map<String, Map<String, String>> lesions,
            String first,
            String second,
            List<OfSign> values,
            List<String> passedOver) {
        List<Map<String, String>> both = lesions.values().stream()
                .filter(said -> said.containsKey(first) && said.containsKey(second))
                .toList();
        if (both.isEmpty()) {
            passedOver.add(sign + ": no lesion that both " + first + " and " + second + " have a term for");
            return;
        }
        List<String> terms = terms(sign, both);
        int[][] table = new int[terms.size()][terms.size()];
        for (Map<String, String> said : both) table[terms.indexOf(said.get(first))][terms.indexOf(said.get(second))]++;
        String pair = ", " + first + " and " + second;
        values.add(new OfSign(sign, "Cohen's kappa" + pair, both.size(), Kappa.of(table, Kappa.Weights.NONE)));
        if (!sign.equals(Impressions.CONCERN)) return;
        values.add(
                new OfSign(sign, "kappa, linear weights" + pair, both.size(), Kappa.of(table, Kappa.Weights.LINEAR)));
        values.add(new OfSign(
                sign, "kappa, quadratic weights" + pair, both.size(), Kappa.of(table, Kappa.Weights.QUADRATIC)));
    }

    private static void addAll(
            String sign,
            Map<String, Map<String, String>> lesions,
            List<String> readers,
            List<OfSign> values,
            List<String> passedOver) {
        List<Map<String, String>> all = lesions.values().stream()
                .filter(said -> said.size() == readers.size())
                .toList();
        if (all.isEmpty()) {
            passedOver.add(sign + ": no lesion that all " + readers.size() + " readers have a term for");
            return;
        }
        List<String> terms = terms(sign, all);
        int[][] counts = new int[all.size()][terms.size()];
        for (int i = 0; i < counts.length; i++)
            for (String term : all.get(i).values()) counts[i][terms.indexOf(term)]++;
        values.add(
                new OfSign(sign, "Fleiss' kappa, " + readers.size() + " readers", all.size(), FleissKappa.of(counts)));
    }

    // Grades have an order, and one that nobody gave lies between its neighbours all the same.
    private static List<String> terms(String sign, List<Map<String, String>> lesions) {
        if (sign.equals(Impressions.CONCERN)) return Impressions.GRADES;
        TreeSet<String> terms = new TreeSet<>();
        lesions.forEach(said -> terms.addAll(said.values()));
        return List.copyOf(terms);
    }
}
