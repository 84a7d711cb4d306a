// SPDX-License-Identifier: Apache-2.0
package org.leiogauge.cohort.statistics;

import org.apache.commons.math3.distribution.FDistribution;
import org.leiogauge.table.Estimate;

/**
 * Intraclass correlation in its six classical forms, from n subjects that the same k raters measured.
 *
 * <p>Mean squares: between subjects BMS, within subjects WMS, between raters JMS, residual EMS. One rater: ICC(1,1) =
 * (BMS − WMS)/(BMS + (k−1) WMS), ICC(2,1) = (BMS − EMS)/(BMS + (k−1) EMS + k (JMS − EMS)/n), ICC(3,1) = (BMS − EMS)/(BMS +
 * (k−1) EMS). Mean of the k raters: ICC(1,k) = (BMS − WMS)/BMS, ICC(2,k) = (BMS − EMS)/(BMS + (JMS − EMS)/n), ICC(3,k) =
 * (BMS − EMS)/BMS. No unit; undefined where all subjects are alike.
 *
 * <p>Source: Shrout and Fleiss 1979, Intraclass correlations, doi:10.1037/0033-2909.86.2.420, with their intervals.
 *
 * @param oneWaySingle ICC(1,1), raters drawn anew for each subject
 * @param agreementSingle ICC(2,1), raters drawn at random, their bias counts
 * @param consistencySingle ICC(3,1), these raters alone, their bias does not count
 * @param oneWayMean ICC(1,k)
 * @param agreementMean ICC(2,k)
 * @param consistencyMean ICC(3,k)
 */
public record IntraclassCorrelation(
        Estimate oneWaySingle,
        Estimate agreementSingle,
        Estimate consistencySingle,
        Estimate oneWayMean,
        Estimate agreementMean,
        Estimate consistencyMean) {
    private static final String ALIKE = "all values are alike";
    private static final double FEWEST_DEGREES = 0.05;
    private static final double UPPER = 0.975;

    /** @param ratings one row per subject, one column per rater; complete, 2 × 2 or more */
    public static IntraclassCorrelation of(double[][] ratings) {
        MeanSquares m = MeanSquares.of(ratings);
        int n = m.subjects();
        int k = m.raters();
        Estimate agreement = agreement(m);
        return new IntraclassCorrelation(
                single(m.between(), m.within(), k, n - 1, n * (k - 1)),
                agreement,
                single(m.between(), m.residual(), k, n - 1, (n - 1) * (k - 1)),
                mean(m.between(), m.within(), n - 1, n * (k - 1)),
                agreementOfMean(m, agreement),
                mean(m.between(), m.residual(), n - 1, (n - 1) * (k - 1)));
    }

    private static Estimate single(double between, double error, int k, int df1, int df2) {
        double value = (between - error) / (between + (k - 1) * error);
        double low = between / error / f(df1, df2);
        double high = between / error * f(df2, df1);
        return Estimate.of(value, (low - 1) / (low + k - 1), (high - 1) / (high + k - 1), ALIKE);
    }

    private static Estimate mean(double between, double error, int df1, int df2) {
        double low = between / error / f(df1, df2);
        double high = between / error * f(df2, df1);
        return Estimate.of((between - error) / between, 1 - 1 / low, 1 - 1 / high, ALIKE);
    }

    private static Estimate agreement(MeanSquares m) {
        double n = m.subjects();
        double k = m.raters();
        double bms = m.between();
        double ems = m.residual();
        double jms = m.raterSquare();
        double icc = (bms - ems) / (bms + (k - 1) * ems + k * (jms - ems) / n);
        if (!Double.isFinite(icc)) return Estimate.undefined(ALIKE);
        if (ems == 0) return Estimate.of(icc, Double.NaN, Double.NaN, ALIKE);
        double fj = jms / ems;
        double part = n * (1 + (k - 1) * icc) - k * icc;
        double top = (k - 1) * (n - 1) * square(k * icc * fj + part);
        double v = top / ((n - 1) * square(k * icc * fj) + square(part));
        // of subjects that are all alike: rounding alone is left, and no F distribution has so few degrees of freedom
        if (!(v > FEWEST_DEGREES)) return Estimate.of(icc, Double.NaN, Double.NaN, ALIKE);
        double fu = f(n - 1, v);
        double fl = f(v, n - 1);
        double rest = k * jms + (k * n - k - n) * ems;
        return Estimate.of(
                icc, n * (bms - fu * ems) / (fu * rest + n * bms), n * (fl * bms - ems) / (rest + n * fl * bms), ALIKE);
    }

    private static Estimate agreementOfMean(MeanSquares m, Estimate single) {
        double k = m.raters();
        double value = (m.between() - m.residual()) / (m.between() + (m.raterSquare() - m.residual()) / m.subjects());
        return single.interval()
                .map(i -> Estimate.of(
                        value, k * i.low() / (1 + (k - 1) * i.low()), k * i.high() / (1 + (k - 1) * i.high()), ALIKE))
                .orElseGet(() -> Estimate.of(value, Double.NaN, Double.NaN, ALIKE));
    }

    private static double f(double df1, double df2) {
        return new FDistribution(df1, df2).inverseCumulativeProbability(UPPER);
    }

    private static double square(double x) {
        return x * x;
    }

    /** The mean squares of a two-way layout without repeats. */
    record MeanSquares(int subjects, int raters, double between, double within, double raterSquare, double residual) {
        static MeanSquares of(double[][] ratings) {
            int n = ratings.length;
            int k = n == 0 ? 0 : ratings[0].length;
            if (n < 2 || k < 2)
                throw new IllegalArgumentException(
                        "ratings must have 2 subjects and 2 raters or more, got " + n + " and " + k);
            double grand = 0;
            double[] subject = new double[n];
            double[] rater = new double[k];
            for (int i = 0; i < n; i++) {
                if (ratings[i].length != k)
                    throw new IllegalArgumentException(
                            "ratings must be complete, row " + i + " has " + ratings[i].length + " of " + k);
                for (int j = 0; j < k; j++) {
                    subject[i] += ratings[i][j] / k;
                    rater[j] += ratings[i][j] / n;
                    grand += ratings[i][j] / n / k;
                }
            }
            double between = 0;
            for (double s : subject) between += k * square(s - grand);
            double judges = 0;
            for (double r : rater) judges += n * square(r - grand);
            double within = 0;
            for (int i = 0; i < n; i++) for (double x : ratings[i]) within += square(x - subject[i]);
            double residual = Math.max(0, within - judges);
            return new MeanSquares(
                    n,
                    k,
                    between / (n - 1),
                    within / (n * (k - 1.0)),
                    judges / (k - 1),
                    residual / ((n - 1.0) * (k - 1)));
        }
    }
}
