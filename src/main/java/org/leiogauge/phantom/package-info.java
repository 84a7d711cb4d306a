// SPDX-License-Identifier: Apache-2.0
/**
 * A synthetic multi-sequence pelvic MRI study, computed from physics, whose true answer is known. All of it is invented.
 *
 * <p>Uses {@code task}, {@code image}, {@code table}, {@code dicom} and {@code nifti}, and no measuring package, so that it
 * stays an independent oracle. Main types: {@link org.leiogauge.phantom.PhantomSettings},
 * {@link org.leiogauge.phantom.Preset}, {@link org.leiogauge.phantom.Phantom}. The anatomy is defined in continuous patient
 * space (mm, LPS) by solids and smooth fields, with the signal equations beside it; images are rendered from it, and the
 * true values, outlines and masks come from the same solids and fields without an image. It promises neither the look of
 * one scanner nor the anatomy of one person.
 */
package org.leiogauge.phantom;
