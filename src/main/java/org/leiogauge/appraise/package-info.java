/**
 * What published evidence says of the measured values: criteria cards, textbook patterns, the reader's impression beside the
 * measurement, post-test probability with what few counts leave open. Several findings side by side, never one verdict.
 *
 * <p>Uses {@code task}, {@code table} and the case file of {@code study}. Main types:
 * {@link org.leiogauge.appraise.Appraisal}, {@link org.leiogauge.appraise.CriteriaCard},
 * {@link org.leiogauge.appraise.Lexicon}, {@link org.leiogauge.appraise.PatternChart},
 * {@link org.leiogauge.appraise.Prevalence}, {@link org.leiogauge.appraise.Counts}. It opens no image; cards, lexicon,
 * patterns and prevalence are data files. It does not promise that a criterion holds for values measured otherwise than its
 * paper did: each card says what stands in for what.
 */
package org.leiogauge.appraise;
