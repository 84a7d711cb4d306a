// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.appraise;

import java.util.ArrayList;
import java.util.HashMap;
import java.util.List;
import java.util.Map;
import java.util.Optional;
import java.util.SplittableRandom;
import org.leiogauge.appraise.CriteriaCard.CardCounts;
import org.leiogauge.appraise.Criterion.Finding;
import org.leiogauge.table.Measurement;
import org.leiogauge.task.Seed;

/**
 * One card held against one lesion.
 *
 * @param draws how often the criterion is met when the values move within their intervals; none where no value it looks at
 *     has an interval, or where it is not measured
 * @param worth one entry per entry of the card's counts
 * @param cautions of the card and of the values it looks at
 */
public record CardResult(
        CriteriaCard card, Finding finding, Optional<Draws> draws, List<Worth> worth, List<String> cautions) {
    private static final int DRAWS = 2000;

    public CardResult {
        worth = List.copyOf(worth);
        cautions = List.copyOf(cautions);
    }

    /**
     * The criterion under draws of its values, each value drawn by itself.
     *
     * @param number how many were drawn
     * @param told in how many of them the criterion could be told
     * @param met share of those that meet it, 0 to 1
     */
    public record Draws(int number, int told, double met) {
        /** Whether more than one draw in forty comes out either way. */
        public boolean nearCutOff() {
            return met > 0.025 && met < 0.975;
        }
    }

    /**
     * What the criterion is worth by one set of counts, at the chosen prevalence.
     *
     * @param ifMet probability of the disease in women who meet it
     * @param ifNotMet probability in women who do not
     * @param here for this lesion: where draws come out either way, of both together; none if not measured
     * @param fromCounts the plain Bayes figure for this lesion's result; not measured where a cell is empty
     * @param sentence the same in women; empty if not measured
     */
    public record Worth(
            CardCounts counts,
            PostTest ifMet,
            PostTest ifNotMet,
            Optional<PostTest> here,
            Measurement fromCounts,
            String sentence) {}

    /** A card with what its counts say at a prevalence: worked out once for all lesions. */
    record Weighed(CriteriaCard card, Prevalence prevalence, List<PostTest> ifMet, List<PostTest> ifNotMet) {
        static Weighed of(CriteriaCard card, Prevalence prevalence) {
            return new Weighed(card, prevalence, after(card, true, prevalence), after(card, false, prevalence));
        }

        private static List<PostTest> after(CriteriaCard card, boolean met, Prevalence prevalence) {
            return card.counts().stream()
                    .map(counts -> PostTest.of(counts.counts(), met, prevalence.value()))
                    .toList();
        }
    }

    static CardResult of(Weighed weighed, LesionValues values, Seed seed) {
        CriteriaCard card = weighed.card;
        Prevalence prevalence = weighed.prevalence;
        Map<FeatureKey, LesionValues.Found> found = new HashMap<>();
        card.criterion().comparisons().forEach(c -> found.computeIfAbsent(c.key(), values::find));
        Finding finding = card.criterion().finding(key -> found.get(key).value());
        Optional<Draws> draws = draws(card.criterion(), finding, found, seed);
        List<String> cautions = new ArrayList<>(card.cautions());
        card.criterion()
                .comparisons()
                .map(Criterion.Comparison::key)
                .distinct()
                .filter(key -> !found.get(key).caution().isEmpty())
                .forEach(key -> cautions.add(key.label() + ": " + found.get(key).caution()));
        if (!prevalence.disease().isEmpty()
                && !prevalence.disease().equals(card.target())
                && !card.counts().isEmpty())
            cautions.add("The prevalence is of " + prevalence.disease() + ", the counts are of " + card.target() + ".");
        List<Worth> worth = new ArrayList<>();
        for (int i = 0; i < card.counts().size(); i++) worth.add(worth(weighed, i, finding.outcome(), draws));
        return new CardResult(card, finding, draws, worth, cautions);
    }

    private static Optional<Draws> draws(
            Criterion criterion, Finding finding, Map<FeatureKey, LesionValues.Found> found, Seed seed) {
        boolean moves = found.values().stream().anyMatch(f -> f.interval().isPresent());
        if (!moves || finding.outcome() == Outcome.NOT_MEASURED) return Optional.empty();
        List<FeatureKey> order = criterion
                .comparisons()
                .map(Criterion.Comparison::key)
                .distinct()
                .toList();
        int met = 0;
        int told = 0;
        for (int i = 0; i < DRAWS; i++) {
            SplittableRandom random = seed.draw(i);
            Map<FeatureKey, Measurement> drawn = new HashMap<>();
            for (FeatureKey key : order) drawn.put(key, LesionValues.draw(found.get(key), random));
            Outcome outcome = criterion.finding(drawn::get).outcome();
            if (outcome == Outcome.MET) met++;
            if (outcome != Outcome.NOT_MEASURED) told++;
        }
        return told == 0 ? Optional.empty() : Optional.of(new Draws(DRAWS, told, (double) met / told));
    }

    private static Worth worth(Weighed weighed, int entry, Outcome outcome, Optional<Draws> draws) {
        CardCounts counts = weighed.card.counts().get(entry);
        PostTest ifMet = weighed.ifMet.get(entry);
        PostTest ifNotMet = weighed.ifNotMet.get(entry);
        double prevalence = weighed.prevalence.value();
        if (outcome == Outcome.NOT_MEASURED)
            return new Worth(
                    counts,
                    ifMet,
                    ifNotMet,
                    Optional.empty(),
                    new Measurement.NotMeasured("the criterion is not measured"),
                    "");
        boolean met = outcome == Outcome.MET;
        double share = draws.map(Draws::met).orElse(met ? 1.0 : 0.0);
        PostTest here = share == 1 ? ifMet : share == 0 ? ifNotMet : PostTest.of(counts.counts(), share, prevalence);
        return new Worth(
                counts,
                ifMet,
                ifNotMet,
                Optional.of(here),
                counts.counts().postTest(met, prevalence),
                NaturalFrequency.sentence(counts.counts(), met, prevalence, weighed.card.target()));
    }
}
