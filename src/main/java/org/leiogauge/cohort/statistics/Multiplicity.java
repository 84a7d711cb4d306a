// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.Comparator;
import java.util.stream.IntStream;

/**
 * p-values adjusted for having asked many questions.
 *
 * <p>False discovery rate: the i-th smallest of m becomes min over j ≥ i of p_(j) m/j. Family-wise: max over j ≤ i of p_(j)
 * (m − j + 1). Both at most 1, in the order of the input.
 *
 * <p>Source: Benjamini and Hochberg 1995, doi:10.1111/j.2517-6161.1995.tb02031.x; Holm 1979, Scand J Statist 6:65.
 */
public final class Multiplicity {
    private Multiplicity() {}

    /** For the false discovery rate. */
    public static double[] falseDiscovery(double[] p) {
        int[] order = ascending(p);
        double[] adjusted = new double[p.length];
        double least = 1;
        for (int i = p.length - 1; i >= 0; i--) {
            least = Math.min(least, p[order[i]] * p.length / (i + 1));
            adjusted[order[i]] = least;
        }
        return adjusted;
    }

    /** For the chance of one false finding or more. */
    public static double[] familyWise(double[] p) {
        int[] order = ascending(p);
        double[] adjusted = new double[p.length];
        double most = 0;
        for (int i = 0; i < p.length; i++) {
            most = Math.max(most, Math.min(1, p[order[i]] * (p.length - i)));
            adjusted[order[i]] = most;
        }
        return adjusted;
    }

    private static int[] ascending(double[] p) {
        return IntStream.range(0, p.length)
                .boxed()
                .sorted(Comparator.comparingDouble(i -> p[i]))
                .mapToInt(Integer::intValue)
                .toArray();
    }
}
