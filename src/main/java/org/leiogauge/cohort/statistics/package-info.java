// SPDX-License-Identifier: Apache-2.0
/**
 * Statistics of many cases: agreement between readers and repeats, discrimination of an outcome.
 *
 * <p>Pure functions of arrays; they open no file. Distributions come from Apache Commons Math. Main types:
 * {@link org.leiogauge.cohort.statistics.IntraclassCorrelation}, {@link org.leiogauge.cohort.statistics.BlandAltman},
 * {@link org.leiogauge.cohort.statistics.Kappa}, {@link org.leiogauge.cohort.statistics.Roc}. All intervals are of 95 %.
 */
package org.leiogauge.cohort.statistics;
