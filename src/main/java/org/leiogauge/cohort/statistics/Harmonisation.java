// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Arrays;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.TreeMap;
import java.util.TreeSet;
import java.util.stream.IntStream;

/**
 * Takes each site's own location and scale out of the features, the sites' estimates drawn together over all features.
 *
 * <p>Model: x_ij = α_j + σ_j (γ_sj + δ_sj ε), s the case's site. Per site the γ_j are taken as normal, the δ_j² as inverse
 * gamma over the features j, their parameters by moments; γ*, δ*² are the posterior means, by iteration. Result: α_j + σ_j
 * ((x − α_j)/σ_j − γ*)/δ*, in the features' units. Features that do not vary, and sites of which fewer than two cases were
 * seen in fitting, are left as they are. The outcome is not looked at: where sites differ in their share of positives, part
 * of the outcome's effect goes with the site's.
 *
 * <p>Source: Johnson, Li and Rabinovic 2007, Adjusting batch effects using empirical Bayes methods,
 * doi:10.1093/biostatistics/kxj037.
 */
public final class Harmonisation {
    private static final int MOST_STEPS = 500;
    private static final double SETTLED = 1e-6;

    private final double[] alpha;
    private final double[] sigma;
    private final Map<String, double[][]> sites = new HashMap<>();

    private Harmonisation(int features) {
        alpha = new double[features];
        sigma = new double[features];
    }

    /**
     * Fits to training cases.
     *
     * @param columns one array per feature, over the cases
     * @param site of each case
     */
    public static Harmonisation fit(double[][] columns, List<String> site) {
        Harmonisation fit = new Harmonisation(columns.length);
        Map<String, int[]> members = members(site);
        for (int j = 0; j < columns.length; j++) fit.pooled(columns[j], members, j);
        members.forEach((name, cases) -> {
            if (cases.length >= 2) fit.sites.put(name, fit.shrunk(columns, cases));
        });
        return fit;
    }

    private static Map<String, int[]> members(List<String> site) {
        Map<String, int[]> members = new HashMap<>();
        for (String name : new TreeSet<>(site))
            members.put(
                    name,
                    IntStream.range(0, site.size())
                            .filter(i -> site.get(i).equals(name))
                            .toArray());
        return members;
    }

    // α: the mean of the sites' means by their cases, that is the grand mean; σ²: the variance about the sites' means.
    private void pooled(double[] column, Map<String, int[]> members, int j) {
        int n = column.length;
        for (double x : column) alpha[j] += x / n;
        double sum = 0;
        for (int[] cases : new TreeMap<>(members).values()) {
            double mean =
                    Arrays.stream(cases).mapToDouble(i -> column[i]).average().orElseThrow();
            for (int i : cases) sum += (column[i] - mean) * (column[i] - mean);
        }
        sigma[j] = Math.sqrt(sum / n);
        if (!(sigma[j] > 1e-12 * Math.abs(alpha[j]))) sigma[j] = 0;
    }

    // Rows: γ* and δ* of each feature.
    private double[][] shrunk(double[][] columns, int[] cases) {
        int p = columns.length;
        double[] gamma = new double[p];
        double[] delta2 = new double[p];
        Arrays.fill(delta2, 1);
        for (int j = 0; j < p; j++) {
            if (sigma[j] == 0) continue;
            double[] z = standardised(columns[j], cases, j);
            gamma[j] = Arrays.stream(z).average().orElseThrow();
            double g = gamma[j];
            delta2[j] = Arrays.stream(z).map(v -> (v - g) * (v - g)).sum() / (z.length - 1);
        }
        int[] varying = IntStream.range(0, p).filter(j -> sigma[j] > 0).toArray();
        double[][] result = {new double[p], new double[p]};
        Arrays.fill(result[1], 1);
        if (varying.length == 0) return result;
        Prior prior = Prior.of(gamma, delta2, varying);
        for (int j : varying) {
            double[] posterior = prior.posterior(standardised(columns[j], cases, j), gamma[j], delta2[j]);
            result[0][j] = posterior[0];
            result[1][j] = Math.sqrt(posterior[1]);
        }
        return result;
    }

    private double[] standardised(double[] column, int[] cases, int j) {
        return Arrays.stream(cases)
                .mapToDouble(i -> (column[i] - alpha[j]) / sigma[j])
                .toArray();
    }

    /** What is known of a site from all its features. */
    private record Prior(double mean, double variance, double shape, double scale) {
        static Prior of(double[] gamma, double[] delta2, int[] varying) {
            double mean =
                    Arrays.stream(varying).mapToDouble(j -> gamma[j]).average().orElseThrow();
            double variance = spread(gamma, mean, varying);
            double m =
                    Arrays.stream(varying).mapToDouble(j -> delta2[j]).average().orElseThrow();
            double s2 = spread(delta2, m, varying);
            // one feature, or all alike: nothing to draw together
            if (!(s2 > 0)) return new Prior(mean, variance, Double.NaN, Double.NaN);
            return new Prior(mean, variance, (2 * s2 + m * m) / s2, (m * s2 + m * m * m) / s2);
        }

        private static double spread(double[] values, double mean, int[] varying) {
            if (varying.length < 2) return 0;
            return Arrays.stream(varying)
                            .mapToDouble(j -> (values[j] - mean) * (values[j] - mean))
                            .sum()
                    / (varying.length - 1);
        }

        double[] posterior(double[] z, double gamma, double delta2) {
            if (Double.isNaN(shape) || !(variance > 0)) return new double[] {gamma, delta2 > 0 ? delta2 : 1};
            int n = z.length;
            double g = gamma;
            double d = delta2;
            for (int step = 0; step < MOST_STEPS; step++) {
                double nextG = (n * variance * gamma + d * mean) / (n * variance + d);
                double sum = 0;
                for (double v : z) sum += (v - nextG) * (v - nextG);
                double nextD = (scale + sum / 2) / (n / 2.0 + shape - 1);
                double moved = Math.max(Math.abs(nextG - g), Math.abs(nextD - d));
                g = nextG;
                d = nextD;
                if (moved < SETTLED) break;
            }
            return new double[] {g, d};
        }
    }

    /** Whether a site was seen in fitting, with two cases or more. */
    public boolean knows(String site) {
        return sites.containsKey(site);
    }

    /** One case's features without its site's share; unchanged if the site is not known. */
    public double[] apply(double[] features, String site) {
        double[] result = new double[features.length];
        for (int j = 0; j < result.length; j++) result[j] = apply(features[j], j, sites.get(site));
        return result;
    }

    /**
     * As of one case, of many.
     *
     * @param columns one array per feature, over the cases
     * @param site of each case
     */
    double[][] apply(double[][] columns, List<String> site) {
        double[][][] own = site.stream().map(sites::get).toArray(double[][][]::new);
        double[][] result = new double[columns.length][own.length];
        for (int j = 0; j < result.length; j++)
            for (int i = 0; i < own.length; i++) result[j][i] = apply(columns[j][i], j, own[i]);
        return result;
    }

    // A site that is not known has no estimates of its own.
    private double apply(double x, int j, double[][] own) {
        if (own == null || sigma[j] == 0) return x;
        return alpha[j] + sigma[j] * ((x - alpha[j]) / sigma[j] - own[0][j]) / own[1][j];
    }
}
