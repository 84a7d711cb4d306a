/**
 * From a rough drawing to the lesion: filling in between drawn slices, refinement on several aligned volumes, reference
 * regions, and how well two outlines agree.
 *
 * <p>Uses {@code task}, {@code image}, {@code table}. Opens no file. Main types:
 * {@link org.leiogauge.outline.BetweenSlices}, {@link org.leiogauge.outline.BorderRefinement},
 * {@link org.leiogauge.outline.RoughShape}, {@link org.leiogauge.outline.ReferenceProposal},
 * {@link org.leiogauge.outline.OutlineAgreement}. It promises no anatomy: a
 * region is what the reader's drawing and the images say.
 */
package org.leiogauge.outline;
