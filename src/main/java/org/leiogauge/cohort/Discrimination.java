// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.Comparator;
import java.util.List;
import java.util.Locale;
import java.util.Optional;
import java.util.stream.IntStream;
import org.leiogauge.cohort.statistics.Calibration;
import org.leiogauge.cohort.statistics.CutBootstrap;
import org.leiogauge.cohort.statistics.Multiplicity;
import org.leiogauge.cohort.statistics.NestedValidation;
import org.leiogauge.cohort.statistics.NestedValidation.Cases;
import org.leiogauge.cohort.statistics.Roc;
import org.leiogauge.cohort.statistics.SparseLogistic;
import org.leiogauge.table.Estimate;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * How well the features tell the outcomes apart, one by one and together.
 *
 * @param features those that could be judged, best first
 * @param model all of them together; none if there are too few cases
 * @param warnings what makes the figures doubtful
 * @param passedOver features that could not be judged, and why
 */
public record Discrimination(
        int positives,
        int negatives,
        List<OfFeature> features,
        Optional<OfModel> model,
        List<String> warnings,
        List<String> passedOver) {
    private static final int FEWEST = 5;
    private static final double FULL = 1 - 1e-12;
    private static final int TINY = 20;

    /**
     * @param draws of the bootstrap
     * @param sensitivity at which a second cut-off is given
     */
    public record Settings(int draws, double sensitivity, NestedValidation.Settings model) {
        public Settings {
            if (draws < 10 || draws > 100_000)
                throw new IllegalArgumentException("draws must be 10 to 100000, got " + draws);
            if (!(sensitivity > 0 && sensitivity <= 1))
                throw new IllegalArgumentException("sensitivity must be above 0 and at most 1, got " + sensitivity);
        }

        public static Settings standard() {
            return new Settings(200, 0.95, NestedValidation.Settings.standard());
        }
    }

    /**
     * One feature.
     *
     * @param higher whether high values speak for positive
     * @param q the p-value adjusted for the false discovery rate over all features
     * @param againstBest AUC less that of the best feature on the cases that have both; none for the best itself
     */
    public record OfFeature(
            String name,
            int cases,
            boolean higher,
            Roc roc,
            double p,
            double q,
            Roc.Cut youden,
            CutBootstrap bootstrap,
            Roc.Cut atSensitivity,
            Optional<Roc.Comparison> againstBest) {}

    /**
     * The model of all features.
     *
     * @param roc of the predictions on cases not seen
     * @param chosen features by how many outer models used them, most first
     * @param learning AUC on cases not seen by the share of cases it learnt from
     */
    public record OfModel(
            Roc roc,
            Calibration calibration,
            SparseLogistic.Model whole,
            List<Chosen> chosen,
            int models,
            List<Learnt> learning) {}

    public record Chosen(String feature, int models, double coefficient) {}

    public record Learnt(int cases, double auc) {}

    public static Discrimination of(OutcomeTable table, Settings settings, Workers workers, Progress progress) {
        Cases cases = table.cases();
        List<String> passedOver = new ArrayList<>();
        List<Integer> usable = usable(table, passedOver);
        List<OfFeature> features = features(table, usable, settings, workers, progress.part(0, 0.3));
        int positives = count(cases.positive());
        int negatives = cases.positive().length - positives;
        Optional<OfModel> model = Math.min(positives, negatives) < 2 * FEWEST || usable.isEmpty()
                ? Optional.empty()
                : Optional.of(model(table, usable, settings, workers, progress.part(0.3, 1)));
        return new Discrimination(
                positives, negatives, features, model, warnings(features, positives, negatives), passedOver);
    }

    /** Why no feature is judged; empty if one is. */
    public Optional<String> whyNone() {
        if (!features.isEmpty()) return Optional.empty();
        return Optional.of("no feature is judged, of " + positives + " positive and " + negatives
                + " negative cases; the first: " + passedOver.get(0));
    }

    private static int count(boolean[] positive) {
        int count = 0;
        for (boolean p : positive) if (p) count++;
        return count;
    }

    private static List<Integer> usable(OutcomeTable table, List<String> passedOver) {
        List<Integer> usable = new ArrayList<>();
        boolean[] positive = table.cases().positive();
        for (int j = 0; j < table.features().size(); j++) {
            double[] column = table.cases().columns()[j];
            int[] known = known(column);
            long yes = Arrays.stream(known).filter(i -> positive[i]).count();
            String name = table.features().get(j);
            if (Math.min(yes, known.length - yes) < FEWEST)
                passedOver.add(name + ": measured in fewer than " + FEWEST + " cases of one class");
            else if (Arrays.stream(known).mapToDouble(i -> column[i]).distinct().count() == 1)
                passedOver.add(name + ": the same value in every case");
            else usable.add(j);
        }
        return usable;
    }

    private static int[] known(double[] column) {
        return IntStream.range(0, column.length)
                .filter(i -> !Double.isNaN(column[i]))
                .toArray();
    }

    private static List<OfFeature> features(
            OutcomeTable table, List<Integer> usable, Settings settings, Workers workers, Progress progress) {
        List<OfFeature> judged = workers.map(usable.size(), i -> {
            progress.at((double) i / usable.size());
            return feature(table, usable.get(i), settings);
        });
        double[] q = Multiplicity.falseDiscovery(
                judged.stream().mapToDouble(OfFeature::p).toArray());
        List<OfFeature> adjusted = new ArrayList<>();
        for (int i = 0; i < q.length; i++) adjusted.add(with(judged.get(i), q[i], Optional.empty()));
        adjusted.sort(
                Comparator.comparingDouble((OfFeature f) -> -f.roc().auc()).thenComparing(OfFeature::name));
        return List.copyOf(workers.map(adjusted.size(), i -> {
            OfFeature f = adjusted.get(i);
            return i == 0 ? f : with(f, f.q(), Optional.of(against(table, f, adjusted.get(0))));
        }));
    }

    private static OfFeature with(OfFeature f, double q, Optional<Roc.Comparison> comparison) {
        return new OfFeature(
                f.name(),
                f.cases(),
                f.higher(),
                f.roc(),
                f.p(),
                q,
                f.youden(),
                f.bootstrap(),
                f.atSensitivity(),
                comparison);
    }

    private static OfFeature feature(OutcomeTable table, int j, Settings settings) {
        double[] column = table.cases().columns()[j];
        int[] known = known(column);
        double[] scores = Arrays.stream(known).mapToDouble(i -> column[i]).toArray();
        boolean[] positive = pick(table.cases().positive(), known);
        Roc asIs = Roc.of(scores, positive);
        boolean higher = asIs.auc() >= 0.5;
        double[] turned = higher ? scores : Arrays.stream(scores).map(v -> -v).toArray();
        Roc roc = higher ? asIs : Roc.of(turned, positive);
        return new OfFeature(
                table.features().get(j),
                known.length,
                higher,
                roc,
                roc.rankSumP(),
                Double.NaN,
                roc.youden(),
                CutBootstrap.of(
                        turned,
                        positive,
                        settings.sensitivity(),
                        settings.draws(),
                        new Seed(settings.model().seed())),
                roc.atSensitivity(settings.sensitivity()),
                Optional.empty());
    }

    private static boolean[] pick(boolean[] values, int[] chosen) {
        boolean[] some = new boolean[chosen.length];
        for (int i = 0; i < some.length; i++) some[i] = values[chosen[i]];
        return some;
    }

    private static Roc.Comparison against(OutcomeTable table, OfFeature feature, OfFeature best) {
        double[] a = table.cases().columns()[table.features().indexOf(feature.name())];
        double[] b = table.cases().columns()[table.features().indexOf(best.name())];
        int[] both = IntStream.range(0, a.length)
                .filter(i -> !Double.isNaN(a[i]) && !Double.isNaN(b[i]))
                .toArray();
        if (both.length == feature.cases() && both.length == best.cases())
            return feature.roc().against(best.roc());
        boolean[] positive = pick(table.cases().positive(), both);
        int yes = count(positive);
        if (yes == 0 || yes == positive.length) return new Roc.Comparison(Double.NaN, Double.NaN, Double.NaN);
        return Roc.of(turned(a, both, feature.higher()), positive)
                .against(Roc.of(turned(b, both, best.higher()), positive));
    }

    private static double[] turned(double[] column, int[] chosen, boolean higher) {
        return Arrays.stream(chosen)
                .mapToDouble(i -> higher ? column[i] : -column[i])
                .toArray();
    }

    private static OfModel model(
            OutcomeTable table, List<Integer> usable, Settings settings, Workers workers, Progress progress) {
        Cases all = table.cases();
        Cases cases = new Cases(
                usable.stream().map(j -> all.columns()[j]).toArray(double[][]::new),
                all.positive(),
                all.group(),
                all.site());
        // The longest first, so that no thread is left with it in the end.
        List<Cases> each = new ArrayList<>(List.of(cases));
        each.addAll(fewer(cases));
        List<NestedValidation.Result> results =
                NestedValidation.run(each, settings.model(), workers, progress.part(0, 0.9));
        NestedValidation.Result result = results.get(0);
        SparseLogistic.Model whole = NestedValidation.whole(cases, settings.model(), workers);
        List<Chosen> chosen = new ArrayList<>();
        for (int j = 0; j < usable.size(); j++)
            if (result.chosen().get(j) > 0 || whole.coefficients().get(j) != 0)
                chosen.add(new Chosen(
                        table.features().get(usable.get(j)),
                        result.chosen().get(j),
                        whole.coefficients().get(j)));
        chosen.sort(Comparator.comparingInt((Chosen c) -> -c.models()).thenComparing(Chosen::feature));
        double[] predicted = predicted(result);
        List<Learnt> learning = new ArrayList<>();
        for (int i = each.size() - 1; i >= 0; i--) {
            double[] p = predicted(results.get(i));
            learning.add(new Learnt(p.length, Roc.of(p, each.get(i).positive()).auc()));
        }
        return new OfModel(
                Roc.of(predicted, cases.positive()),
                Calibration.of(predicted, cases.positive()),
                whole,
                List.copyOf(chosen),
                result.models(),
                List.copyOf(learning));
    }

    private static double[] predicted(NestedValidation.Result result) {
        return result.predicted().stream().mapToDouble(Double::doubleValue).toArray();
    }

    // Every k-th positive and negative is left out: a share of the cases, seeded by nothing but their order.
    private static List<Cases> fewer(Cases cases) {
        return IntStream.of(75, 50, 25)
                .mapToObj(percent -> cases.share(percent / 100.0))
                .filter(some -> {
                    int yes = count(some.positive());
                    return Math.min(yes, some.positive().length - yes) >= 2 * FEWEST
                            && some.group().stream().distinct().count() >= 2;
                })
                .toList();
    }

    private static List<String> warnings(List<OfFeature> features, int positives, int negatives) {
        List<String> warnings = new ArrayList<>();
        int fewer = Math.min(positives, negatives);
        if (fewer < TINY)
            warnings.add("Only " + fewer + " cases of the rarer outcome: every figure here is loose, and cut-offs will"
                    + " not hold elsewhere.");
        for (OfFeature f : features)
            if (f.roc().auc() >= FULL)
                warnings.add(f.name() + " separates the outcomes fully. Look whether the outcome leaked into it, or the"
                        + " cases are too few; its interval is not defined.");
        if (features.size() > positives + negatives)
            warnings.add("More features (" + features.size() + ") than cases (" + (positives + negatives)
                    + "): some will look good by chance; read the q-values.");
        warnings.add(power(positives, negatives));
        return List.copyOf(warnings);
    }

    /** How wide an interval so many cases give. */
    static String power(int positives, int negatives) {
        double auc = 0.85;
        double half = Estimate.Z * Roc.expectedError(auc, positives, negatives);
        return String.format(
                Locale.ROOT,
                "With %d positive and %d negative cases the 95 %% interval of an AUC of 0.85 spans %.2f to %.2f.",
                positives,
                negatives,
                auc - half,
                Math.min(1, auc + half));
    }
}
