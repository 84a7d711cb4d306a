// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.ArrayList;
import java.util.Collections;
import java.util.Comparator;
import java.util.LinkedHashMap;
import java.util.List;
import java.util.Map;
import java.util.Random;
import java.util.TreeSet;
import java.util.stream.IntStream;
import org.leiogauge.task.Seed;

/**
 * Cases dealt out to folds so that a group, as a site or a patient, is never in two of them.
 *
 * <p>The groups are shuffled, then dealt, the ones with most positives first, each to the fold that has fewest positives,
 * of equal ones fewest cases. With as many groups as folds or fewer, each group is a fold.
 *
 * @param of the fold of each case, from 0
 */
public record Folds(int count, List<Integer> of) {
    public Folds {
        of = List.copyOf(of);
    }

    /** @param most folds wanted; there are no more than groups */
    public static Folds deal(List<String> groups, boolean[] positive, int most, Seed seed) {
        Map<String, int[]> tallies = new LinkedHashMap<>();
        List<String> names = new ArrayList<>(new TreeSet<>(groups));
        Collections.shuffle(names, new Random(seed.draw(0).nextLong()));
        names.forEach(name -> tallies.put(name, new int[2]));
        for (int i = 0; i < positive.length; i++) {
            int[] tally = tallies.get(groups.get(i));
            tally[0] += positive[i] ? 1 : 0;
            tally[1]++;
        }
        names.sort(Comparator.comparingInt((String name) -> -tallies.get(name)[0])
                .thenComparingInt(name -> -tallies.get(name)[1]));
        int count = Math.min(most, names.size());
        int[][] filled = new int[count][2];
        Map<String, Integer> fold = new LinkedHashMap<>();
        for (String name : names) {
            int at = emptiest(filled, tallies.get(name)[0] > 0);
            filled[at][0] += tallies.get(name)[0];
            filled[at][1] += tallies.get(name)[1];
            fold.put(name, at);
        }
        return new Folds(count, groups.stream().map(fold::get).toList());
    }

    // A group with positives goes where they are fewest, one without where there are fewest cases.
    private static int emptiest(int[][] filled, boolean withPositives) {
        int best = 0;
        for (int i = 1; i < filled.length; i++) {
            int fewer = withPositives ? Integer.compare(filled[i][0], filled[best][0]) : 0;
            if (fewer < 0 || fewer == 0 && filled[i][1] < filled[best][1]) best = i;
        }
        return best;
    }

    /** The cases inside a fold, or all others. */
    public int[] cases(int fold, boolean inside) {
        return IntStream.range(0, of.size())
                .filter(i -> (of.get(i) == fold) == inside)
                .toArray();
    }
}
