// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.List;

/**
 * A published or customary criterion, with what is known of its worth.
 *
 * @param id our own, unique
 * @param name in plain words, our own
 * @param source paper and year, or "common practice, no source"
 * @param population in whom it was tried
 * @param target what it was tried against, as {@code leiomyosarcoma}
 * @param standIns where a measured value stands for what readers saw
 * @param leavesOut what the rule also asks and this tool does not measure
 * @param counts one entry per reader or set; empty where none are known
 */
public record CriteriaCard(
        String id,
        String name,
        String source,
        Mark mark,
        String population,
        String target,
        Criterion criterion,
        List<String> standIns,
        List<String> leavesOut,
        List<CardCounts> counts,
        List<String> cautions) {

    public CriteriaCard {
        standIns = List.copyOf(standIns);
        leavesOut = List.copyOf(leavesOut);
        counts = List.copyOf(counts);
        cautions = List.copyOf(cautions);
    }

    /**
     * Counts and where they come from.
     *
     * @param of whose reading, or which set
     */
    public record CardCounts(String of, Mark mark, Counts counts) {}
}
