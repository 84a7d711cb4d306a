/**
 * What published evidence says of the measured values: intervals and post-test probability. Never one verdict.
 *
 * <p>Uses {@code task}, {@code table} and the case file of {@code study}. Main types:
 * {@link org.leiogauge.appraise.Counts}, {@link org.leiogauge.appraise.Proportion}. It opens no image.
 */
package org.leiogauge.appraise;
