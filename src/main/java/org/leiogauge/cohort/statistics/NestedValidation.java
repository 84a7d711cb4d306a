// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import java.util.ArrayList;
import java.util.Arrays;
import java.util.List;
import java.util.Optional;
import java.util.stream.IntStream;
import org.leiogauge.task.Progress;
import org.leiogauge.task.Seed;
import org.leiogauge.task.Workers;

/**
 * What a sparse logistic model would be worth on cases, and sites, that it has not seen.
 *
 * <p>Outer folds: each is predicted by a model of the others. Inner folds, inside those others: choose the penalty, the
 * largest whose mean logarithmic loss is within one standard error of the least; weaker ones are tried until that loss has
 * been above this limit, on the far side of the least, {@value #ENOUGH} times in a row. Missing values are set to the training
 * cases' median, and sites harmonised, inside each fold alone. Groups stay whole in both.
 *
 * <p>Source: nested validation: Varma and Simon 2006, doi:10.1186/1471-2105-7-91; one standard error: Breiman et al. 1984.
 */
public final class NestedValidation {
    private static final int ENOUGH = 3;

    private NestedValidation() {}

    /**
     * @param folds outer ones
     * @param innerFolds to choose the penalty
     * @param penalties how many are tried
     * @param harmonise whether sites are harmonised
     */
    public record Settings(int folds, int innerFolds, int penalties, double leastShare, boolean harmonise, long seed) {
        public Settings {
            if (folds < 2 || innerFolds < 2 || penalties < 2)
                throw new IllegalArgumentException("folds, inner-folds and penalties must be 2 or more, got " + folds
                        + ", " + innerFolds + ", " + penalties);
            if (!(leastShare > 0 && leastShare < 1))
                throw new IllegalArgumentException("least-share must be between 0 and 1, got " + leastShare);
        }

        public static Settings standard() {
            return new Settings(5, 4, 20, 0.05, false, 17);
        }
    }

    /**
     * The cases.
     *
     * @param columns one array per feature, over the cases; NaN where not measured
     * @param group of each case: what must not be split between folds
     * @param site of each case
     */
    public record Cases(double[][] columns, boolean[] positive, List<String> group, List<String> site) {
        Cases pick(int[] chosen) {
            double[][] some = new double[columns.length][];
            for (int j = 0; j < some.length; j++) {
                double[] column = columns[j];
                some[j] = Arrays.stream(chosen).mapToDouble(i -> column[i]).toArray();
            }
            boolean[] yes = new boolean[chosen.length];
            for (int i = 0; i < yes.length; i++) yes[i] = positive[chosen[i]];
            return new Cases(
                    some,
                    yes,
                    Arrays.stream(chosen).mapToObj(group::get).toList(),
                    Arrays.stream(chosen).mapToObj(site::get).toList());
        }

        /** A share of the positives and of the negatives, evenly spread over their order. */
        public Cases share(double share) {
            int[] seen = new int[2];
            return pick(IntStream.range(0, positive.length)
                    .filter(i -> {
                        int before = (int) (seen[positive[i] ? 1 : 0]++ * share);
                        return (int) (seen[positive[i] ? 1 : 0] * share) > before;
                    })
                    .toArray());
        }

        boolean hasBoth() {
            boolean yes = false;
            boolean no = false;
            for (boolean p : positive) {
                yes |= p;
                no |= !p;
            }
            return yes && no;
        }
    }

    /**
     * @param predicted probability of each case, from a model that had not seen it
     * @param chosen per feature, in how many outer models it counts
     */
    public record Result(List<Double> predicted, List<Integer> chosen, int models) {}

    public static Result run(Cases cases, Settings settings, Workers workers, Progress progress) {
        Folds outer = Folds.deal(cases.group(), cases.positive(), settings.folds(), new Seed(settings.seed()));
        if (outer.count() < 2) throw new IllegalArgumentException("group must name 2 groups or more, got 1");
        List<Fitted> fits = workers.map(outer.count(), fold -> {
            progress.at((double) fold / outer.count());
            return fit(cases.pick(outer.cases(fold, false)), settings, fold);
        });
        double[] predicted = new double[cases.positive().length];
        int[] chosen = new int[cases.columns().length];
        for (int fold = 0; fold < fits.size(); fold++) {
            int[] inside = outer.cases(fold, true);
            double[] p = fits.get(fold).predict(cases.pick(inside));
            for (int i = 0; i < inside.length; i++) predicted[inside[i]] = p[i];
            List<Double> b = fits.get(fold).model().coefficients();
            for (int j = 0; j < chosen.length; j++) if (b.get(j) != 0) chosen[j]++;
        }
        return new Result(
                Arrays.stream(predicted).boxed().toList(),
                Arrays.stream(chosen).boxed().toList(),
                fits.size());
    }

    /** The model of all cases, its penalty chosen by inner folds; to be shown, not to be judged. */
    public static SparseLogistic.Model whole(Cases cases, Settings settings) {
        return fit(cases, settings, settings.folds()).model();
    }

    private static Fitted fit(Cases training, Settings settings, int number) {
        if (!training.hasBoth())
            throw new IllegalArgumentException("positive must hold both kinds in the training cases of every fold");
        Prepared prepared = Prepared.of(training, settings.harmonise());
        double[][] columns = prepared.columns(training);
        double[] lambdas =
                SparseLogistic.lambdas(columns, training.positive(), settings.penalties(), settings.leastShare());
        int best = choose(training, settings, lambdas, number);
        List<SparseLogistic.Model> path =
                SparseLogistic.path(columns, training.positive(), Arrays.copyOf(lambdas, best + 1));
        return new Fitted(prepared, path.get(best));
    }

    private static int choose(Cases training, Settings settings, double[] lambdas, int number) {
        Folds inner = Folds.deal(
                training.group(), training.positive(), settings.innerFolds(), new Seed(settings.seed() + 1 + number));
        // One group only: its cases are dealt singly.
        if (inner.count() < 2) {
            List<String> single = IntStream.range(0, training.group().size())
                    .mapToObj(Integer::toString)
                    .toList();
            inner = Folds.deal(single, training.positive(), settings.innerFolds(), new Seed(settings.seed() + number));
        }
        List<InnerFold> folds = new ArrayList<>();
        for (int fold = 0; fold < inner.count(); fold++) {
            Cases others = training.pick(inner.cases(fold, false));
            Cases held = training.pick(inner.cases(fold, true));
            if (!others.hasBoth() || held.positive().length == 0) continue;
            folds.add(InnerFold.of(others, held, settings.harmonise()));
        }
        return chosen(folds, lambdas);
    }

    // All folds go along the penalties together, and no further than the losses tell.
    private static int chosen(List<InnerFold> folds, double[] lambdas) {
        if (folds.isEmpty()) return 0;
        double[][] loss = new double[lambdas.length][];
        double[] mean = new double[lambdas.length];
        int least = 0;
        int above = 0;
        for (int i = 0; i < lambdas.length && above < ENOUGH; i++) {
            double lambda = lambdas[i];
            loss[i] = folds.stream().mapToDouble(fold -> fold.loss(lambda)).toArray();
            mean[i] = Arrays.stream(loss[i]).average().orElseThrow();
            if (mean[i] < mean[least]) least = i;
            above = mean[i] > limit(loss[least], mean[least]) ? above + 1 : 0;
        }
        double limit = limit(loss[least], mean[least]);
        for (int i = 0; i < least; i++) if (mean[i] <= limit) return i;
        return least;
    }

    private static double limit(double[] loss, double mean) {
        double variance = 0;
        for (double one : loss) variance += (one - mean) * (one - mean) / Math.max(1, loss.length - 1);
        return mean + Math.sqrt(variance / loss.length);
    }

    /** Cases to fit and cases to judge by, along one path of penalties. */
    private record InnerFold(Prepared prepared, SparseLogistic path, Cases held) {
        static InnerFold of(Cases others, Cases held, boolean harmonise) {
            Prepared prepared = Prepared.of(others, harmonise);
            return new InnerFold(prepared, SparseLogistic.on(prepared.columns(others), others.positive()), held);
        }

        double loss(double lambda) {
            double[] p = new Fitted(prepared, path.next(lambda)).predict(held);
            return Calibration.of(p, held.positive()).logarithmicLoss();
        }
    }

    private record Fitted(Prepared prepared, SparseLogistic.Model model) {
        double[] predict(Cases cases) {
            double[][] columns = prepared.columns(cases);
            double[] p = new double[cases.positive().length];
            double[] row = new double[columns.length];
            for (int i = 0; i < p.length; i++) {
                for (int j = 0; j < row.length; j++) row[j] = columns[j][i];
                p[i] = model.probability(row);
            }
            return p;
        }
    }

    /** What is done to features before the model, learnt from training cases alone. */
    private record Prepared(double[] medians, Optional<Harmonisation> sites) {
        static Prepared of(Cases training, boolean harmonise) {
            double[] medians = new double[training.columns().length];
            for (int j = 0; j < medians.length; j++) medians[j] = median(training.columns()[j]);
            return new Prepared(
                    medians,
                    harmonise
                            ? Optional.of(Harmonisation.fit(filled(training, medians), training.site()))
                            : Optional.empty());
        }

        private static double median(double[] column) {
            double[] known =
                    Arrays.stream(column).filter(x -> !Double.isNaN(x)).sorted().toArray();
            if (known.length == 0) return 0;
            return (known[(known.length - 1) / 2] + known[known.length / 2]) / 2;
        }

        private static double[][] filled(Cases cases, double[] medians) {
            double[][] filled = new double[medians.length][];
            for (int j = 0; j < filled.length; j++) {
                filled[j] = cases.columns()[j].clone();
                for (int i = 0; i < filled[j].length; i++) if (Double.isNaN(filled[j][i])) filled[j][i] = medians[j];
            }
            return filled;
        }

        double[][] columns(Cases cases) {
            double[][] columns = filled(cases, medians);
            if (sites.isEmpty()) return columns;
            double[] row = new double[columns.length];
            for (int i = 0; i < cases.positive().length; i++) {
                for (int j = 0; j < row.length; j++) row[j] = columns[j][i];
                double[] even = sites.get().apply(row, cases.site().get(i));
                for (int j = 0; j < row.length; j++) columns[j][i] = even[j];
            }
            return columns;
        }
    }
}
