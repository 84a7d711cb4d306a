// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.feature;

import java.util.ArrayList;
import java.util.List;
import java.util.function.ToDoubleFunction;

/**
 * The formulas that the run length, size zone, distance zone and dependence matrices share; they differ in what the
 * column counts.
 *
 * <p>Letters: n(i, j) counts at level i and column j; N their sum; p = n / N; n(i) and n(j) the sums over a row and a
 * column; N_v number of voxels that were looked at, once for each matrix that was added.
 *
 * <p>Source: IBSI reference manual, grey level run length based features (TP0I), and the same formulas at size zone
 * (9SAK), distance zone (VMDZ) and dependence (REK0) matrices.
 */
final class EmphasisTable {
    private final CountMatrix counts;
    private final long voxels;

    EmphasisTable(CountMatrix counts, long voxels) {
        this.counts = counts;
        this.voxels = voxels;
    }

    CountMatrix counts() {
        return counts;
    }

    boolean isEmpty() {
        return counts.isEmpty();
    }

    static EmphasisTable sum(EmphasisTable first, List<EmphasisTable> others) {
        List<CountMatrix> parts = new ArrayList<>(List.of(first.counts));
        long voxels = first.voxels;
        for (EmphasisTable other : others) {
            parts.add(other.counts);
            voxels += other.voxels;
        }
        return new EmphasisTable(CountMatrix.sum(parts), voxels);
    }

    /** 1/N Σ n(i, j) iᵃ jᵇ, for a and b −2, 0 or 2. */
    double emphasis(int a, int b) {
        return mean((i, j) -> power(i, a) * power(j, b));
    }

    private static double power(double x, int exponent) {
        return exponent == 0 ? 1 : exponent > 0 ? x * x : 1 / (x * x);
    }

    /** 1/N Σ n(i)². */
    double levelNonUniformity() {
        return squaresOfRows() / counts.total();
    }

    /** 1/N² Σ n(i)². */
    double levelNonUniformityNormalised() {
        return squaresOfRows() / counts.total() / counts.total();
    }

    /** 1/N Σ n(j)². */
    double columnNonUniformity() {
        return squaresOfColumns() / counts.total();
    }

    /** 1/N² Σ n(j)². */
    double columnNonUniformityNormalised() {
        return squaresOfColumns() / counts.total() / counts.total();
    }

    /** N / N_v. */
    double percentage() {
        return (double) counts.total() / voxels;
    }

    /** Σ (i − μ)² p. */
    double levelVariance() {
        double mu = mean((i, j) -> i);
        return mean((i, j) -> (i - mu) * (i - mu));
    }

    /** Σ (j − μ)² p. */
    double columnVariance() {
        double mu = mean((i, j) -> j);
        return mean((i, j) -> (j - mu) * (j - mu));
    }

    /** −Σ p log₂ p. */
    double entropy() {
        double sum = 0;
        for (int k = 0; k < counts.size(); k++) {
            double p = (double) counts.count(k) / counts.total();
            sum -= p * Distribution.log2(p);
        }
        return sum;
    }

    /** Σ p². */
    double energy() {
        double sum = 0;
        for (int k = 0; k < counts.size(); k++) {
            double p = (double) counts.count(k) / counts.total();
            sum += p * p;
        }
        return sum;
    }

    private double squaresOfRows() {
        double sum = 0;
        double row = 0;
        for (int k = 0; k < counts.size(); k++) {
            row += counts.count(k);
            boolean isLast = k + 1 == counts.size() || counts.row(k + 1) != counts.row(k);
            if (!isLast) continue;
            sum += row * row;
            row = 0;
        }
        return sum;
    }

    private double squaresOfColumns() {
        double[] columns = new double[counts.highestColumn() + 1];
        for (int k = 0; k < counts.size(); k++) columns[counts.column(k)] += counts.count(k);
        double sum = 0;
        for (double column : columns) sum += column * column;
        return sum;
    }

    private double mean(Weight weight) {
        double sum = 0;
        for (int k = 0; k < counts.size(); k++) sum += counts.count(k) * weight.of(counts.row(k), counts.column(k));
        return sum / counts.total();
    }

    @FunctionalInterface
    private interface Weight {
        double of(double i, double j);
    }

    /** A family's features over its own matrix: each row of the list names one formula of the table. */
    static <M> Row<M> rows(Family family, TableOf<M> table, String undefined) {
        return (name, code, unit, meaning, formula) -> Feature.of(family, name, code, unit, meaning, undefined, m -> {
            EmphasisTable t = table.of(m);
            return t.isEmpty() ? Double.NaN : formula.applyAsDouble(t);
        });
    }

    @FunctionalInterface
    interface TableOf<M> {
        EmphasisTable of(M matrix);
    }

    @FunctionalInterface
    interface Row<M> {
        Feature<M> of(String name, String code, String unit, String meaning, ToDoubleFunction<EmphasisTable> formula);
    }
}
