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
                some[j] = new double[chosen.length];
                for (int i = 0; i < chosen.length; i++) some[j][i] = column[chosen[i]];
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
        return run(List.of(cases), settings, workers, progress).get(0);
    }

    /** Several validations side by side, the outer folds of all of them being the pieces of work. */
    public static List<Result> run(List<Cases> each, Settings settings, Workers workers, Progress progress) {
        List<Folds> outer = each.stream()
                .map(cases -> Folds.deal(cases.group(), cases.positive(), settings.folds(), new Seed(settings.seed())))
                .toList();
        List<Outer> pieces = new ArrayList<>();
        for (int i = 0; i < outer.size(); i++) {
            if (outer.get(i).count() < 2) throw new IllegalArgumentException("group must name 2 groups or more, got 1");
            for (int fold = 0; fold < outer.get(i).count(); fold++)
                pieces.add(new Outer(i, each.get(i), outer.get(i), fold));
        }
        List<Judged> judged = workers.map(pieces.size(), piece -> {
            progress.at((double) piece / pieces.size());
            return pieces.get(piece).judge(settings);
        });
        return IntStream.range(0, each.size())
                .mapToObj(i -> gathered(
                        each.get(i),
                        judged.stream().filter(one -> one.of() == i).toList()))
                .toList();
    }

    private static Result gathered(Cases cases, List<Judged> judged) {
        double[] predicted = new double[cases.positive().length];
        int[] chosen = new int[cases.columns().length];
        for (Judged one : judged) {
            for (int i = 0; i < one.inside().length; i++) predicted[one.inside()[i]] = one.predicted()[i];
            List<Double> b = one.model().coefficients();
            for (int j = 0; j < chosen.length; j++) if (b.get(j) != 0) chosen[j]++;
        }
        return new Result(
                Arrays.stream(predicted).boxed().toList(),
                Arrays.stream(chosen).boxed().toList(),
                judged.size());
    }

    /** One outer fold of the cases of one validation. */
    private record Outer(int of, Cases cases, Folds folds, int fold) {
        Judged judge(Settings settings) {
            int[] inside = folds.cases(fold, true);
            Fitted fit = fit(cases.pick(folds.cases(fold, false)), settings, fold, Workers.SINGLE);
            return new Judged(of, inside, fit.predict(cases.pick(inside)), fit.model());
        }
    }

    /** What a model made of an outer fold's cases, which it had not seen. */
    private record Judged(int of, int[] inside, double[] predicted, SparseLogistic.Model model) {}

    /** The model of all cases, its penalty chosen by inner folds; to be shown, not to be judged. */
    public static SparseLogistic.Model whole(Cases cases, Settings settings, Workers workers) {
        return fit(cases, settings, settings.folds(), workers).model();
    }

    private static Fitted fit(Cases training, Settings settings, int number, Workers workers) {
        if (!training.hasBoth())
            throw new IllegalArgumentException("positive must hold both kinds in the training cases of every fold");
        Prepared prepared = Prepared.of(training, settings.harmonise());
        SparseLogistic path = SparseLogistic.on(prepared.columns(training), training.positive());
        double[] lambdas = path.lambdas(settings.penalties(), settings.leastShare());
        int best = choose(training, settings, lambdas, number, workers);
        for (int i = 0; i < best; i++) path.next(lambdas[i]);
        return new Fitted(prepared, path.next(lambdas[best]));
    }

    private static int choose(Cases training, Settings settings, double[] lambdas, int number, Workers workers) {
        Folds inner = Folds.deal(
                training.group(), training.positive(), settings.innerFolds(), new Seed(settings.seed() + 1 + number));
        // One group only: its cases are dealt singly.
        if (inner.count() < 2) {
            List<String> single = IntStream.range(0, training.group().size())
                    .mapToObj(Integer::toString)
                    .toList();
            inner = Folds.deal(single, training.positive(), settings.innerFolds(), new Seed(settings.seed() + number));
        }
        Folds dealt = inner;
        List<InnerFold> folds = workers
                .map(
                        dealt.count(),
                        fold -> InnerFold.of(
                                training.pick(dealt.cases(fold, false)),
                                training.pick(dealt.cases(fold, true)),
                                settings.harmonise()))
                .stream()
                .flatMap(Optional::stream)
                .toList();
        return chosen(folds, lambdas, workers);
    }

    // All folds go along the penalties together, and no further than the losses tell.
    private static int chosen(List<InnerFold> folds, double[] lambdas, Workers workers) {
        if (folds.isEmpty()) return 0;
        double[][] loss = new double[lambdas.length][];
        double[] mean = new double[lambdas.length];
        int least = 0;
        int above = 0;
        for (int i = 0; i < lambdas.length && above < ENOUGH; i++) {
            double lambda = lambdas[i];
            loss[i] = workers.map(folds.size(), fold -> folds.get(fold).loss(lambda)).stream()
                    .mapToDouble(Double::doubleValue)
                    .toArray();
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

    /** A path of penalties, and the cases to judge it by, as the fitted ones prepared. */
    private record InnerFold(SparseLogistic path, double[][] held, boolean[] positive) {
        /** None where the others are of one kind, or no case is held. */
        static Optional<InnerFold> of(Cases others, Cases held, boolean harmonise) {
            if (!others.hasBoth() || held.positive().length == 0) return Optional.empty();
            Prepared prepared = Prepared.of(others, harmonise);
            return Optional.of(new InnerFold(
                    SparseLogistic.on(prepared.columns(others), others.positive()),
                    prepared.columns(held),
                    held.positive()));
        }

        double loss(double lambda) {
            return Calibration.of(path.next(lambda).probabilities(held), positive)
                    .logarithmicLoss();
        }
    }

    private record Fitted(Prepared prepared, SparseLogistic.Model model) {
        double[] predict(Cases cases) {
            return model.probabilities(prepared.columns(cases));
        }
    }

    /** What is done to features before the model, learnt from training cases alone. */
    private record Prepared(Cases training, Optional<Harmonisation> sites) {
        static Prepared of(Cases training, boolean harmonise) {
            Prepared filling = new Prepared(training, Optional.empty());
            return harmonise
                    ? new Prepared(training, Optional.of(Harmonisation.fit(filling.columns(training), training.site())))
                    : filling;
        }

        private static double median(double[] column) {
            double[] known =
                    Arrays.stream(column).filter(x -> !Double.isNaN(x)).sorted().toArray();
            if (known.length == 0) return 0;
            return (known[(known.length - 1) / 2] + known[known.length / 2]) / 2;
        }

        double[][] columns(Cases cases) {
            double[][] columns = cases.columns().clone();
            for (int j = 0; j < columns.length; j++) if (hasGap(columns[j])) columns[j] = filled(columns[j], j);
            return sites.map(known -> known.apply(columns, cases.site())).orElse(columns);
        }

        private static boolean hasGap(double[] column) {
            for (double x : column) if (Double.isNaN(x)) return true;
            return false;
        }

        private double[] filled(double[] column, int j) {
            double median = median(training.columns()[j]);
            double[] filled = column.clone();
            for (int i = 0; i < filled.length; i++) if (Double.isNaN(filled[i])) filled[i] = median;
            return filled;
        }
    }
}
